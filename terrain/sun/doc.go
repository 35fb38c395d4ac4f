// Package sun finds the sun over a skyline, and the energy it leaves on a panel.
//
// # From a place to a year
//
// terrain.Horizon gives the skyline of a place. [At] tells where the sun stands,
// [Sunlit] when it shows over the skyline, [SunHours] for how long in each month.
// [Monthly] and [Daily] give the energy on a [Panel] from a [Climate], twelve
// monthly means or the built-in [DefaultClimate]; [ReadWeather] and [Replay] from a
// year of hourly weather. Everything is computed from its arguments; there is no
// clock.
//
// # Model
//
// Position: the low-accuracy sun of Meeus, Astronomical Algorithms (2nd edition,
// chapters 12, 13, 25), through github.com/soniakeys/meeus, with parallax and
// refraction; 0.01° from 1900 to 2100, where the sun is 0.53° wide and a hill of
// the DEM blurred by more. The apparent sun is held against the apparent skyline.
//
// Energy from means: the clearness index gives the diffuse share (Erbs, Klein and
// Duffie), the day its hours (Collares-Pereira and Rabl; Liu and Jordan), the
// month its dark and bright days (Liu and Jordan's distribution as fitted by
// Hollands and Huget) and its cold and warm ones (Erbs, Klein and Beckman), in an
// order with a dark week and a cold spell; the day's course of the air is that of
// Parton and Logan, its range goes with the clearness (Bristow and Campbell). The
// declination is Cooper's on the mean days of Klein; on every day beyond 66.5° of
// latitude. The first and the last hour of sun get too much beam.
//
// On the panel: beam by geometry, in steps of 4 minutes, as long as the centre of
// the sun stands above the skyline; sky light as from an evenly bright sky, times
// the part of the sky the panel sees past the hills; light from level
// ground before the panel. The even sky is the low estimate for a panel that
// faces the sun. Slopes in place of sky reflect too; that is left out.
//
// Heat: the cell temperature from NOCT takes its share of the power; the gain of
// cold cells is not counted.
//
// # What to expect
//
// A month of a given year lies within ±30 % or so. The model runs high in dull
// winters: against hourly files it gave 13 to 36 % too much in an Amsterdam
// November to January, 3 to 10 % at 45° N in the Po plain. Hence a factor on the
// result of 0.85 in months with a clearness index below 0.35 and for assumed
// weather, else 0.95 (Climate.ModelFactor).
//
// Monthly means beside the hours they were taken from, what a cell could be given
// in each month on six panels: 0.90 to 1.11 of it in Piedmont, 0.86 to 1.11 in
// Boulder, but 1.21 to 1.32 on panels towards the south in its January, whose clear
// days are the cold ones. The sun alone is within 0.86 to 1.13 in every month. No mean
// tells which days are cold: winters drawn at random with the same means differ by 5 to
// 9 % (one standard deviation) in each month of frost.
//
// Snow takes a share of the month by tilt where the climate states how much falls
// (Townsend and Powers). Not known: other snow on the panel, rime, leaves, fog in the valley, trees on the
// ridge, dirt, ageing. Reflection at the glass and all losses behind the panel
// belong to the power budget.
//
// # Unknown ground
//
// A skyline tells how high unknown ground might stand. Site.Worst counts it so;
// where a verdict differs between the two, it is not known.
//
// # Sources
//
//   - J. Meeus, Astronomical Algorithms, 2nd edition (1998).
//   - I. Reda, A. Andreas, NREL/TP-560-34302 (2008), as a check.
//   - J. A. Duffie, W. A. Beckman, Solar Engineering of Thermal Processes, 4th
//     edition (2013), chapters 1 and 2.
//   - Erbs, Klein, Duffie, Solar Energy 28 (1982); Collares-Pereira, Rabl, Solar
//     Energy 22 (1979); Liu, Jordan, Solar Energy 4 (1960) and 7 (1963); Hollands,
//     Huget, Solar Energy 30 (1983); Klein, Solar Energy 19 (1977).
//   - Townsend, Powers, 37th IEEE Photovoltaic Specialists Conference (2011).
//   - Erbs, Klein, Beckman, ASHRAE Journal 25 (1983); Parton, Logan, Agricultural
//     Meteorology 23 (1981); Bristow, Campbell, Agricultural and Forest Meteorology
//     31 (1984); Richardson, Wright, WGEN, USDA ARS-8 (1984).
//   - Dozier, Frew, IEEE TGRS 28 (1990): the sky view of level ground.
//   - Haurwitz, J. Meteorology 2 (1945); Ineichen, Perez, Solar Energy 73 (2002);
//     Kasten, Young, Applied Optics 28 (1989): cloudless skies.
//   - EnergyPlus, Auxiliary Programs, EPW data dictionary.
package sun

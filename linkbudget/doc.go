// Package linkbudget computes the budget of one radio path over terrain, for
// small LoRa nodes on poles: what arrives, what is needed, what stands between,
// and how surely. [Evaluate] is the whole job for one path; [Evaluator] does many.
//
// # Models
//
// The median basic transmission loss is free space over the slant distance
// (ITU-R P.525-4) plus diffraction by delta-Bullington (P.526-15 §4.5.2,
// identical in P.1812-6 §4.3 and P.452-18), with troposcatter as a ceiling
// (P.1812-6 §4.4): one formula from a clear path to deep shadow that is held to
// official data. P.1812 is numbered after edition 6 (2021). Each model has a
// room of its own, whose overview names its sources.
//
// Each end stands in something: in open country where nothing is said (P.2108-1
// §3.1 eq (2b), below 10 m), in a class or a wood, in a town, or free, where
// somebody looked. In a class and in a town the path is reckoned from the tops.
// The other choice is clutter on the profile, of one class on bare earth only; never two of
// them at one end. Where a cover is laid on the terrain ([terrain.WithCover]) every point of the
// profile carries what stands there, an end of which nothing is said takes its class from it, and
// a wood at an end counts by P.833-10 or by the edge of its rim, and one between the ends is passed over
// or through ([diffraction.Stand]). Of what stands on the profile and open country the larger counts. The
// hardware of each end loses some decibels in the mean, which belongs to the budget and not to the path's loss.
// The path is computed for k = 4/3 and again for a pessimistic k.
//
// The margin of the weaker direction is the link's fade margin: what a level may
// fade before packets are lost.
//
// # Doubt
//
// sigma² = model² + ripple² + terrain² + ends² + hardware², each itemised, and
// P(link) = Phi(margin/sigma); time is kept apart. The method's own
// figure, 3 dB on a clear path and 6 to 10 dB behind obstacles, is engineering
// judgement; what simulation and measurements say stands in the README.
//
// # Time
//
// The loss is the median in time unless Environment.TimePercent says otherwise; a result
// always tells for what share of an average year its median margin lasts. Package
// timepercent has both halves.
//
// # Range
//
// 100 MHz to 3 GHz; paths from 0.25 km (shorter ones carry a warning) to some
// hundred kilometres; antennas 1 to 300 m above ground. Not modelled: single
// trees and houses, rain, ducting in the median, other people's packets.
//
// # Names, units, errors
//
// DB is a ratio and DBm a level; every other number is a float64 whose name ends
// in its unit: M metres, Hz, Deg degrees, S seconds. Bad input gives an error
// that lists every fault, by errors.Is a [fault.ErrInput], by errors.As those of
// one value a [FieldError]; terrain that could not be read is [terrain.ErrRead],
// a panic of a DEM in a worker a [fault.PanicError]. A path over unknown ground
// is no error: its verdict is Unknown and says where. No function returns NaN or
// an infinity for input in range. Everything in this module may be used from
// several goroutines as long as none writes to what others read; what keeps
// scratch memory, such as [Evaluator], says so.
package linkbudget

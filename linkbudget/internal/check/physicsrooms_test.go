package check_test

import (
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
	"github.com/polereach/polereach/linkbudget/timepercent"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/landcover"
	"github.com/polereach/polereach/terrain/magnetic"
	"github.com/polereach/polereach/terrain/sun"
)

// groundRooms are those of terrain.
var groundRooms = []room{
	{"terrain/fault", map[string]any{
		"Found":     fault.Found,
		"Guarded":   fault.Guarded,
		"Input":     fault.Input,
		"Numbers":   fault.Numbers[float64],
		"Range":     fault.Range,
		"Recovered": fault.Recovered,
		"Within":    fault.Within[float64, float64],
	}, []any{
		new(fault.FieldError), new(fault.Limits), new(fault.Number[float64]), new(fault.PanicError),
	}},
	{"terrain", map[string]any{
		"Cartesian":      terrain.Cartesian,
		"Compare":        terrain.Compare,
		"CheckPlace":     terrain.CheckPlace,
		"DegreeSizesM":   terrain.DegreeSizesM,
		"Destination":    terrain.Destination,
		"GroundAndCover": terrain.GroundAndCover,
		"HeightsOf":      terrain.HeightsOf,
		"Horizon":        terrain.Horizon,
		"Inverse":        terrain.Inverse,
		"IsVoid":         terrain.IsVoid,
		"MaxArcM":        terrain.MaxArcM,
		"NewProfile":     terrain.NewProfile,
		"NewTiles":       terrain.NewTiles,
		"OpenCodes":      terrain.OpenCodes,
		"OpenSources":    terrain.OpenSources,
		"ReadProfile":    terrain.ReadProfile,
		"Stack":          terrain.Stack,
		"Summarise":      terrain.Summarise,
		"TileName":       terrain.TileName,
		"VoidHeight":     terrain.VoidHeight,
		"WithCover":      terrain.WithCover,
		"WriteASCIIGrid": terrain.WriteASCIIGrid,
	}, []any{
		new(terrain.CoverAlong), new(terrain.CoverClass), new(terrain.Standing), new(terrain.Wood),
		new(terrain.Difference), new(terrain.Extent), new(terrain.Flag), new(terrain.Gap), new(terrain.Geodesic),
		new(terrain.Grid),
		new(terrain.HorizonOptions), new(terrain.Lattice), new(terrain.Obstacle), new(terrain.Profile),
		new(terrain.ProfileOptions),
		new(terrain.Skyline), new(terrain.SkylineDirection), new(terrain.Source), new(terrain.Summary), new(terrain.Tiles),
		new(terrain.TilesOptions),
	}},
	{"terrain/landcover", map[string]any{"Codes": landcover.Codes, "CrossesDateLine": landcover.CrossesDateLine,
		"Drawn": landcover.Drawn, "New": landcover.New, "Sources": landcover.Sources}, []any{new(landcover.Outline)}},
	{"terrain/magnetic", map[string]any{
		"Declination": magnetic.Declination,
		"NewCompass":  magnetic.NewCompass,
		"Worst":       magnetic.Worst,
	}, []any{new(magnetic.Compass), new(magnetic.Zone)}},
	{"terrain/sun", map[string]any{
		"At":                   sun.At,
		"ClimateFromClearness": sun.ClimateFromClearness,
		"Daily":                sun.Daily,
		"DefaultClimate":       sun.DefaultClimate,
		"DefaultRange":         sun.DefaultRange,
		"Haurwitz":             sun.Haurwitz,
		"Ineichen":             sun.Ineichen,
		"Joined":               sun.Joined,
		"Monthly":              sun.Monthly,
		"NoonElevDeg":          sun.NoonElevDeg,
		"ReadWeather":          sun.ReadWeather,
		"Replay":               sun.Replay,
		"SunHours":             sun.SunHours,
		"Sunlit":               sun.Sunlit,
	}, []any{
		new(sun.Air), new(sun.Arcs), new(sun.ClearSky), new(sun.Climate), new(sun.ClimateMonth), new(sun.DailyEnergy),
		new(sun.Day), new(sun.Hour), new(sun.Interval), new(sun.MonthEnergy), new(sun.MonthHours),
		new(sun.MonthlyEnergy), new(sun.Panel), new(sun.Position), new(sun.Site), new(sun.Weather),
		new(sun.WeatherHour), new(sun.WeatherOptions),
	}},
}

// physicsRooms are those below a link.
var physicsRooms = []room{
	{"linkbudget/radio", map[string]any{
		"EffectiveRadiusM":    radio.EffectiveRadiusM,
		"FreeSpace":           radio.FreeSpace,
		"HalfCurvature":       radio.HalfCurvature,
		"NormalQuantile":      radio.NormalQuantile,
		"Phi":                 radio.Phi,
		"SlantM":              radio.SlantM,
		"SumPower":            radio.SumPower,
		"SurfaceRefractivity": radio.SurfaceRefractivity,
		"WavelengthM":         radio.WavelengthM,
	}, []any{
		new(radio.DB), new(radio.DBm), new(radio.FresnelZone), new(radio.Ground), new(radio.Polarisation),
	}},
	{"linkbudget/diffraction", map[string]any{
		"Classify":                diffraction.Classify,
		"CombineTroposcatter":     diffraction.CombineTroposcatter,
		"FitGround":               diffraction.FitGround,
		"KnifeEdge":               diffraction.KnifeEdge,
		"KnifeEdgeExact":          diffraction.KnifeEdgeExact,
		"PlainlyClearM2":          diffraction.PlainlyClearM2,
		"ScatterAngleLoss":        diffraction.ScatterAngleLoss,
		"ScatterRefractivityGain": diffraction.ScatterRefractivityGain,
	}, []any{
		new(diffraction.Clearance), new(diffraction.Crest), new(diffraction.Edge), new(diffraction.GroundFit),
		new(diffraction.Horizons), new(diffraction.Loss),
		new(diffraction.Obstacle), new(diffraction.Path), new(diffraction.PathClass), new(diffraction.Relief),
		new(diffraction.Sightline),
		new(diffraction.Slopes), new(diffraction.SmoothPath), new(diffraction.Span), new(diffraction.Stand),
		new(diffraction.TerrainError), new(diffraction.Troposcatter),
	}},
	{"linkbudget/timepercent", map[string]any{
		"Along": timepercent.Along, "Inland": timepercent.Inland, "NewFadeTable": timepercent.NewFadeTable,
	}, []any{
		new(timepercent.FadeTable),
		new(timepercent.Course), new(timepercent.Fades), new(timepercent.FadesOf), new(timepercent.Losses),
		new(timepercent.Path),
		new(timepercent.Region),
	}},
	{"linkbudget/reflection", map[string]any{
		"RippleExtremes": reflection.RippleExtremes,
		"RippleSigma":    reflection.RippleSigma,
	}, []any{
		new(reflection.RayPair), new(reflection.Roughness), new(reflection.Specular), new(reflection.SpecularPath),
		new(reflection.TwoRay),
	}},
	{"linkbudget/clutter", map[string]any{
		"Parse":   clutter.Parse,
		"TreesAt": clutter.TreesAt,
	}, []any{
		new(clutter.Class), new(clutter.Statistical), new(clutter.Terminal), new(clutter.Trees), new(clutter.Woodland),
	}},
	{"linkbudget/antenna", map[string]any{
		"FeederNumbers":              antenna.FeederNumbers,
		"Numbers":                    antenna.Numbers,
		"CoaxByName":                 antenna.CoaxByName,
		"CoaxClasses":                antenna.CoaxClasses,
		"DipolePattern":              antenna.DipolePattern,
		"EIRPFromERP":                antenna.EIRPFromERP,
		"ERPFromEIRP":                antenna.ERPFromEIRP,
		"MismatchLoss":               antenna.MismatchLoss,
		"OmniBeamwidthDeg":           antenna.OmniBeamwidthDeg,
		"SectorVerticalBeamwidthDeg": antenna.SectorVerticalBeamwidthDeg,
	}, []any{
		new(antenna.Antenna), new(antenna.Beam), new(antenna.Coax), new(antenna.Feeder), new(antenna.OmniPattern),
		new(antenna.SectorPattern),
	}},
	{"linkbudget/fading", map[string]any{
		"Delivery":      fading.Delivery,
		"GaussLegendre": fading.GaussLegendre,
		"RiceDensity":   fading.RiceDensity,
	}, []any{
		new(fading.Kind), new(fading.Law),
	}},
	{"linkbudget/lora", map[string]any{
		"NearbyNumbers":        lora.NearbyNumbers,
		"BandwidthLabelKHz":    lora.BandwidthLabelKHz,
		"Bandwidths":           lora.Bandwidths,
		"CollisionProbability": lora.CollisionProbability,
		"Desensitisation":      lora.Desensitisation,
		"HourlyShare":          lora.HourlyShare,
		"NoiseFloor":           lora.NoiseFloor,
		"ParseBandwidthKHz":    lora.ParseBandwidthKHz,
		"RegisterSNR":          lora.RegisterSNR,
		"SX126xRSSI":           lora.SX126xRSSI,
		"SymbolErrorRate":      lora.SymbolErrorRate,
		"ThermalNoise":         lora.ThermalNoise,
		"TimeOnAir":            lora.TimeOnAir,
	}, []any{
		new(lora.Airtime), new(lora.Family), new(lora.LDROMode), new(lora.Modem), new(lora.NearbyTransmitter),
		new(lora.Packet), new(lora.PacketError), new(lora.RSSIPort), new(lora.RadioDuty), new(lora.Reception),
		new(lora.SystemNoise), new(lora.Waterfall),
	}},
	{"linkbudget/band", map[string]any{
		"Check":              band.Check,
		"DefaultBandwidthHz": band.DefaultBandwidthHz,
		"DefaultChannelHz":   band.DefaultChannelHz,
		"ExposureDistance":   band.ExposureDistance,
		"ExposureLine":       band.ExposureLine,
		"Names":              band.Names,
		"Parse":              band.Parse,
		"Rules":              band.Rules,
	}, []any{
		new(band.Band), new(band.Confidence), new(band.ExposureLimit), new(band.Finding), new(band.Rate),
		new(band.Reference), new(band.Report), new(band.Row), new(band.Rule), new(band.Status),
		new(band.Topic), new(band.Use),
	}},
}

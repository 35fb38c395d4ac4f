package check_test

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/reflection"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/sun"
)

// room is all that a package exports: functions by name, and a pointer to each type,
// whose methods are found.
type room struct {
	dir       string
	functions map[string]any
	types     []any
}

// rooms stand from the lowest, so that what one makes is tried on the next.
var rooms = []room{
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
		"CheckPlace":     terrain.CheckPlace,
		"DegreeSizesM":   terrain.DegreeSizesM,
		"Destination":    terrain.Destination,
		"HeightsOf":      terrain.HeightsOf,
		"Horizon":        terrain.Horizon,
		"Inverse":        terrain.Inverse,
		"IsVoid":         terrain.IsVoid,
		"MaxArcM":        terrain.MaxArcM,
		"NewProfile":     terrain.NewProfile,
		"NewTiles":       terrain.NewTiles,
		"OpenSources":    terrain.OpenSources,
		"ReadProfile":    terrain.ReadProfile,
		"Stack":          terrain.Stack,
		"Summarise":      terrain.Summarise,
		"TileName":       terrain.TileName,
		"VoidHeight":     terrain.VoidHeight,
		"WriteASCIIGrid": terrain.WriteASCIIGrid,
	}, []any{
		new(terrain.Extent), new(terrain.Flag), new(terrain.Gap), new(terrain.Geodesic), new(terrain.Grid),
		new(terrain.HorizonOptions), new(terrain.Lattice), new(terrain.Obstacle), new(terrain.Profile), new(terrain.ProfileOptions),
		new(terrain.Skyline), new(terrain.SkylineDirection), new(terrain.Source), new(terrain.Summary), new(terrain.Tiles),
		new(terrain.TilesOptions),
	}},
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
		new(sun.Air), new(sun.ClearSky), new(sun.Climate), new(sun.ClimateMonth), new(sun.DailyEnergy),
		new(sun.Day), new(sun.Hour), new(sun.Interval), new(sun.MonthEnergy), new(sun.MonthHours),
		new(sun.MonthlyEnergy), new(sun.Panel), new(sun.Position), new(sun.Site), new(sun.Weather),
		new(sun.WeatherHour), new(sun.WeatherOptions),
	}},
	{"linkbudget/radio", map[string]any{
		"EffectiveRadiusM": radio.EffectiveRadiusM,
		"FreeSpace":        radio.FreeSpace,
		"HalfCurvature":    radio.HalfCurvature,
		"NormalQuantile":   radio.NormalQuantile,
		"Phi":              radio.Phi,
		"SlantM":           radio.SlantM,
		"SumPower":         radio.SumPower,
		"WavelengthM":      radio.WavelengthM,
	}, []any{
		new(radio.DB), new(radio.DBm), new(radio.FresnelZone), new(radio.Ground), new(radio.Polarisation),
	}},
	{"linkbudget/diffraction", map[string]any{
		"Classify":            diffraction.Classify,
		"CombineTroposcatter": diffraction.CombineTroposcatter,
		"FitGround":           diffraction.FitGround,
		"KnifeEdge":           diffraction.KnifeEdge,
		"KnifeEdgeExact":      diffraction.KnifeEdgeExact,
		"PlainlyClearM2":      diffraction.PlainlyClearM2,
		"ScatterAngleLoss":    diffraction.ScatterAngleLoss,
	}, []any{
		new(diffraction.Clearance), new(diffraction.Edge), new(diffraction.GroundFit), new(diffraction.Loss),
		new(diffraction.Obstacle), new(diffraction.Path), new(diffraction.PathClass), new(diffraction.Relief), new(diffraction.Sightline),
		new(diffraction.Slopes), new(diffraction.SmoothPath), new(diffraction.TerrainError), new(diffraction.Troposcatter),
	}},
	{"linkbudget/reflection", map[string]any{
		"RippleExtremes": reflection.RippleExtremes,
		"RippleSigma":    reflection.RippleSigma,
	}, []any{
		new(reflection.RayPair), new(reflection.Roughness), new(reflection.Specular), new(reflection.SpecularPath), new(reflection.TwoRay),
	}},
	{"linkbudget/clutter", map[string]any{
		"Parse": clutter.Parse,
	}, []any{
		new(clutter.Class), new(clutter.Statistical), new(clutter.Terminal), new(clutter.Woodland),
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
		"Check":            band.Check,
		"DefaultChannelHz": band.DefaultChannelHz,
		"ExposureDistance": band.ExposureDistance,
		"ExposureLine":     band.ExposureLine,
		"Names":            band.Names,
		"Parse":            band.Parse,
		"Rules":            band.Rules,
	}, []any{
		new(band.Band), new(band.Confidence), new(band.ExposureLimit), new(band.Finding), new(band.Rate),
		new(band.Reference), new(band.Report), new(band.Row), new(band.Rule), new(band.Status),
		new(band.Topic), new(band.Use),
	}},
	{"linkbudget", map[string]any{
		"Advise":              linkbudget.Advise,
		"ChanceText":          linkbudget.ChanceText,
		"CoverHeights":        linkbudget.CoverHeights,
		"DefaultStation":      linkbudget.DefaultStation,
		"Evaluate":            linkbudget.Evaluate,
		"FresnelText":         linkbudget.FresnelText,
		"MastHeightsM":        linkbudget.MastHeightsM,
		"MinHeight":           linkbudget.MinHeight,
		"StationNumbers":      linkbudget.StationNumbers,
		"ModelDoubtDB":        linkbudget.ModelDoubtDB,
		"NewArea":             linkbudget.NewArea,
		"NewEvaluator":        linkbudget.NewEvaluator,
		"PercentText":         linkbudget.PercentText,
		"ProfileClutter":      linkbudget.ProfileClutter,
		"RoundedApart":        linkbudget.RoundedApart,
		"TerrainErrorByName":  linkbudget.TerrainErrorByName,
		"TerrainErrorFigures": linkbudget.TerrainErrorFigures,
		"TerrainErrors":       linkbudget.TerrainErrors,
		"TwoRayOver":          linkbudget.TwoRayOver,
	}, []any{
		new(linkbudget.Advice), new(linkbudget.AdviceLimits), new(linkbudget.Area), new(linkbudget.Assumed), new(linkbudget.AssumedEnd),
		new(linkbudget.BestCase), new(linkbudget.Brief), new(linkbudget.DoubtParts), new(linkbudget.Figures), new(linkbudget.Level), new(linkbudget.Summary), new(linkbudget.Change),
		new(linkbudget.Counsel), new(linkbudget.Direction), new(linkbudget.Doubt), new(linkbudget.Ends), new(linkbudget.Environment),
		new(linkbudget.Evaluator), new(linkbudget.HeightFound), new(linkbudget.HeightSearch), new(linkbudget.Move), new(linkbudget.Place),
		new(linkbudget.PreparedStation), new(linkbudget.Reflection), new(linkbudget.Result), new(linkbudget.Situation),
		new(linkbudget.Station), new(linkbudget.Surroundings), new(linkbudget.Term), new(linkbudget.TerrainErrorFigure), new(linkbudget.TerrainModelError),
		new(linkbudget.Verdict),
	}},
	{"linkbudget/power", map[string]any{
		"Advise":         power.Advise,
		"AgeingFactor":   power.AgeingFactor,
		"Cautions":       power.Cautions,
		"ExposureOf":     power.ExposureOf,
		"FromMap":        power.FromMap,
		"MonthName":      power.MonthName,
		"NewPanel":       power.NewPanel,
		"Settings":       power.Settings,
		"Settled":        power.Settled,
		"Simulate":       power.Simulate,
		"SunPaths":       power.SunPaths,
		"Survey":         power.Survey,
		"SurveyPole":     power.SurveyPole,
		"WeatherOf":      power.WeatherOf,
		"WeatherOfFiles": power.WeatherOfFiles,
		"WeatherOfMeans": power.WeatherOfMeans,
		"WeatherUnknown": power.WeatherUnknown,
	}, []any{
		new(power.Advice), new(power.AdviceOptions), new(power.Air), new(power.Bank), new(power.Box),
		new(power.CapacityPoint), new(power.Change), new(power.Charger), new(power.ChargerKind), new(power.Chemistry),
		new(power.Counsel), new(power.DaySun), new(power.Derates), new(power.Exposure), new(power.Fan),
		new(power.Finding), new(power.Getter), new(power.Heat), new(power.HeatInput), new(power.Load),
		new(power.MonthBalance), new(power.Panel), new(power.Plane), new(power.PoleOptions), new(power.PoleSurvey),
		new(power.Result), new(power.Run), new(power.RunInput), new(power.Setting), new(power.SettingDefaults),
		new(power.SettingError), new(power.Shade), new(power.Spot), new(power.Stated), new(power.SunPath),
		new(power.SunPoint), new(power.System), new(power.Thief), new(power.Traffic), new(power.Verdict),
		new(power.Weather),
	}},
	{"linkbudget/coverage", map[string]any{
		"Combine":       coverage.Combine,
		"ParseQuantity": coverage.ParseQuantity,
		"Sweep":         coverage.Sweep,
	}, []any{
		new(coverage.Cell), new(coverage.Combined), new(coverage.Level), new(coverage.Numbers), new(coverage.Options),
		new(coverage.Picture), new(coverage.PictureOptions), new(coverage.Quantity), new(coverage.Raster), new(coverage.Served),
		new(coverage.Share), new(coverage.State), new(coverage.Table),
	}},
	{"linkbudget/plan", map[string]any{
		"Keys":          plan.Keys,
		"MissingGround": plan.MissingGround,
		"Read":          plan.Read,
		"WhatIfKeys":    plan.WhatIfKeys,
	}, []any{
		new(plan.Area), new(plan.FieldError), new(plan.Key), new(plan.Link), new(plan.Plan),
		new(plan.Result), new(plan.Road), new(plan.Settings), new(plan.Station), new(plan.Status),
	}},
	{"linkbudget/mesh", map[string]any{
		"BandUse":      mesh.BandUse,
		"Check":        mesh.Check,
		"CheckPath":    mesh.CheckPath,
		"CheckProfile": mesh.CheckProfile,
		"CheckSite":    mesh.CheckSite,
		"CountPairs":   mesh.CountPairs,
		"Merge":        mesh.Merge,
		"Prepare":      mesh.Prepare,
		"ReadPart":     mesh.ReadPart,
	}, []any{
		new(mesh.Cost), new(mesh.CostError), new(mesh.Effect), new(mesh.GroundAt), new(mesh.LinkRank),
		new(mesh.Load), new(mesh.Mesh), new(mesh.Options), new(mesh.Pair), new(mesh.PairClearance),
		new(mesh.PairCounts), new(mesh.PairGap), new(mesh.PairNotes),
		new(mesh.Part), new(mesh.PathCheck), new(mesh.Pole), new(mesh.Prepared), new(mesh.Role),
		new(mesh.Route), new(mesh.SingleRoutes), new(mesh.Site), new(mesh.SiteLink), new(mesh.SiteOptions),
	}},
	{"linkbudget/siting", map[string]any{
		"ParseRank": siting.ParseRank,
		"Search":    siting.Search,
	}, []any{
		new(siting.Answer), new(siting.Choice), new(siting.Link), new(siting.Neighbour), new(siting.Options),
		new(siting.Rank), new(siting.Sky), new(siting.Spot), new(siting.Sun),
	}},
	{"linkbudget/report", map[string]any{
		"AirtimeJSON":        report.AirtimeJSON,
		"AirtimeText":        report.AirtimeText,
		"Cautions":           report.Cautions,
		"CompareMeshes":      report.CompareMeshes,
		"CoverageContours":   report.CoverageContours,
		"CoverageJSON":       report.CoverageJSON,
		"CoverageText":       report.CoverageText,
		"DEMJSON":            report.DEMJSON,
		"DEMText":            report.DEMText,
		"LinkJSON":           report.LinkJSON,
		"LinkText":           report.LinkText,
		"MeshBeyondRules":    report.MeshBeyondRules,
		"MeshCSV":            report.MeshCSV,
		"MeshDifferenceJSON": report.MeshDifferenceJSON,
		"MeshDifferenceText": report.MeshDifferenceText,
		"MeshGeoJSON":        report.MeshGeoJSON,
		"MeshJSON":           report.MeshJSON,
		"MeshText":           report.MeshText,
		"NewAirtimeSheet":    report.NewAirtimeSheet,
		"NewMeshState":       report.NewMeshState,
		"PoleName":           report.PoleName,
		"ReadMeshState":      report.ReadMeshState,
		"SiteJSON":           report.SiteJSON,
		"SiteText":           report.SiteText,
		"SpotName":           report.SpotName,
		"SpotsCSV":           report.SpotsCSV,
		"SpotsGeoJSON":       report.SpotsGeoJSON,
		"SpotsJSON":          report.SpotsJSON,
		"SpotsText":          report.SpotsText,
		"SunJSON":            report.SunJSON,
		"SunText":            report.SunText,
		"SunVerdict":         report.SunVerdict,
	}, []any{
		new(report.AirtimeRow), new(report.AirtimeSheet), new(report.Coverage), new(report.Link), new(report.MeshDifference),
		new(report.MeshState), new(report.SiteOptions), new(report.Spots), new(report.SunOptions),
	}},
	{"linkbudget/report/picture", map[string]any{
		"Sun": picture.Sun,
	}, nil},
}

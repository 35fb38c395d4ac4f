package check_test

import (
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/calibrate"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/handheld"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/linkbudget/siting"
)

// room is all that a package exports: functions by name, and a pointer to each type,
// whose methods are found.
type room struct {
	dir       string
	functions map[string]any
	types     []any
}

// rooms stand from the lowest, so that what one makes is tried on the next.
var rooms = slices.Concat(groundRooms, physicsRooms, []room{
	{"linkbudget", map[string]any{
		"Advise":              linkbudget.Advise,
		"ChanceText":          linkbudget.ChanceText,
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
		"RoundedApart":        linkbudget.RoundedApart,
		"StandsM":             linkbudget.StandsM,
		"TerrainErrorByName":  linkbudget.TerrainErrorByName,
		"TerrainErrorFigures": linkbudget.TerrainErrorFigures,
		"TerrainErrors":       linkbudget.TerrainErrors,
		"TimePercentText":     linkbudget.TimePercentText,
		"TwoRayOver":          linkbudget.TwoRayOver,
	}, []any{
		new(linkbudget.Advice), new(linkbudget.AdviceLimits), new(linkbudget.Area), new(linkbudget.Assumed),
		new(linkbudget.AssumedEnd),
		new(linkbudget.BestCase), new(linkbudget.Brief), new(linkbudget.Calibrated), new(linkbudget.CalibratedNode),
		new(linkbudget.CalibratedPath), new(linkbudget.Calibration), new(linkbudget.DoubtParts), new(linkbudget.Figures),
		new(linkbudget.Level), new(linkbudget.Summary), new(linkbudget.Change),
		new(linkbudget.Counsel), new(linkbudget.Direction), new(linkbudget.Doubt), new(linkbudget.Ends),
		new(linkbudget.Environment),
		new(linkbudget.Evaluator), new(linkbudget.HeightFound), new(linkbudget.HeightSearch), new(linkbudget.Move),
		new(linkbudget.Place),
		new(linkbudget.PreparedStation), new(linkbudget.Reflection), new(linkbudget.Result), new(linkbudget.Situation),
		new(linkbudget.Station), new(linkbudget.Surroundings), new(linkbudget.Term), new(linkbudget.TerrainErrorFigure),
		new(linkbudget.TerrainModelError), new(linkbudget.Verdict),
	}},
	{"linkbudget/power", map[string]any{
		"Advise":         power.Advise,
		"AgeingFactor":   power.AgeingFactor,
		"Cautions":       power.Cautions,
		"ExposureOf":     power.ExposureOf,
		"FromMap":        power.FromMap,
		"Keys":           power.Keys,
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
		new(power.Finding), new(power.Getter), new(power.Heat), new(power.HeatInput), new(power.Key), new(power.Load),
		new(power.MonthBalance), new(power.Panel), new(power.Plane), new(power.PoleOptions), new(power.PoleSurvey),
		new(power.Result), new(power.Run), new(power.RunInput), new(power.Setting), new(power.SettingDefaults),
		new(power.SettingError), new(power.Shade), new(power.Spot), new(power.Stated), new(power.SunPath),
		new(power.SunPoint), new(power.System), new(power.Thief), new(power.Traffic), new(power.Verdict),
		new(power.Weather),
	}},
	{"linkbudget/coverage", map[string]any{
		"Combine":       coverage.Combine,
		"LatticeOf":     coverage.LatticeOf,
		"Light":         coverage.Light,
		"ParseQuantity": coverage.ParseQuantity,
		"Rise":          coverage.Rise,
		"Hillshade":     coverage.Hillshade,
		"Sweep":         coverage.Sweep,
	}, []any{
		new(coverage.Cell), new(coverage.Combined), new(coverage.Level), new(coverage.Numbers), new(coverage.Options),
		new(coverage.Paint), new(coverage.Picture), new(coverage.PictureOptions), new(coverage.Quantity),
		new(coverage.Raster),
		new(coverage.Sample), new(coverage.Scale),
		new(coverage.Served), new(coverage.Share), new(coverage.State), new(coverage.Table),
		new(coverage.Tally),
	}},
	{"linkbudget/plan", map[string]any{
		"Keys":            plan.Keys,
		"Escaped":         plan.Escaped,
		"ExchangedInside": plan.ExchangedInside,
		"MissingGround":   plan.MissingGround,
		"Visible":         plan.Visible,
		"Read":            plan.Read,
		"WhatIfKeys":      plan.WhatIfKeys,
	}, []any{
		new(plan.Area), new(plan.Cover), new(plan.FieldError), new(plan.Key), new(plan.Link), new(plan.Plan),
		new(plan.Result), new(plan.Road), new(plan.Settings), new(plan.Station), new(plan.Status),
	}},
	{"linkbudget/region", map[string]any{
		"Join":     region.Join,
		"OpenPart": region.OpenPart,
		"Prepare":  region.Prepare,
	}, []any{
		new(region.Joined), new(region.Layer), new(region.Options), new(region.Part), new(region.Region), new(region.Summary),
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
		new(mesh.FarLoad), new(mesh.Load), new(mesh.Mesh), new(mesh.Options), new(mesh.Pair), new(mesh.PairClearance),
		new(mesh.PairCounts), new(mesh.PairGap), new(mesh.PairRise), new(mesh.PairNotes),
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
	{"linkbudget/calibrate", map[string]any{
		"Columns":   calibrate.Columns,
		"Compare":   calibrate.Compare,
		"NewFile":   calibrate.NewFile,
		"NewLog":    calibrate.NewLog,
		"ReadFile":  calibrate.ReadFile,
		"ReadTrack": calibrate.ReadTrack,
	}, []any{
		new(calibrate.Answer), new(calibrate.Cause), new(calibrate.Column), new(calibrate.Exchange), new(calibrate.Fault),
		new(calibrate.File), new(calibrate.Fix), new(calibrate.Interval), new(calibrate.Kind), new(calibrate.Link),
		new(calibrate.Log), new(calibrate.LogOptions), new(calibrate.Node), new(calibrate.Options), new(calibrate.Prediction),
		new(calibrate.Predictor), new(calibrate.Row), new(calibrate.Rule), new(calibrate.Summary), new(calibrate.Track),
	}},
	{"linkbudget/report", map[string]any{
		"AirtimeJSON":        report.AirtimeJSON,
		"AirtimeText":        report.AirtimeText,
		"CalibrateJSON":      report.CalibrateJSON,
		"CalibrateText":      report.CalibrateText,
		"CalibrationText":    report.CalibrationText,
		"Cautions":           report.Cautions,
		"CompareMeshes":      report.CompareMeshes,
		"CoverageContours":   report.CoverageContours,
		"CoverageJSON":       report.CoverageJSON,
		"CoverageText":       report.CoverageText,
		"DEMJSON":            report.DEMJSON,
		"DEMText":            report.DEMText,
		"GeoJSONLayer":       report.GeoJSONLayer,
		"HeardCSV":           report.HeardCSV,
		"LinkCSV":            report.LinkCSV,
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
		"CoverText":          report.CoverText,
		"ChannelText":        report.ChannelText,
		"RulesText":          report.RulesText,
		"SiteAssumed":        report.SiteAssumed,
		"SiteVerdict":        report.SiteVerdict,
		"StationText":        report.StationText,
		"TimeText":           report.TimeText,
		"SystemLines":        report.SystemLines,
		"SiteCSV":            report.SiteCSV,
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
		new(report.MeshState), new(report.Screen), new(report.SiteOptions), new(report.Spots), new(report.SunOptions),
	}},
	{"linkbudget/report/handheld", map[string]any{
		"Mesh":  handheld.Mesh,
		"Spots": handheld.Spots,
	}, []any{new(handheld.Line), new(handheld.Mark), new(handheld.Sheet)}},
	{"linkbudget/report/picture", map[string]any{
		"Calibration": picture.Calibration,
		"Coverage":    picture.Coverage,
		"Mesh":        picture.Mesh,
		"Path":        picture.Path,
		"Spots":       picture.Spots,
		"Sun":         picture.Sun,
	}, []any{new(picture.CoverageMap), new(picture.Named), new(picture.SpotsMap)}},
})

package linkbudget

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// TerrainErrorFigure is one published vertical error of a terrain model.
type TerrainErrorFigure struct {
	Product string
	SigmaM  float64 // root-mean-square error or standard deviation, m
	Area    string  // where, against what
	Source  string
}

// le90 is how many standard deviations hold 90 % of a normal distribution.
const le90 = 1.6449

// TerrainErrorFigures returns the published figures, by product. They differ by
// ground: errors grow with slope, and under forest a model made by radar or by
// camera shows part of the canopy. Neighbouring cells err together over 100 m
// to some km, so the error of an obstacle is one shift, not averaged away.
func TerrainErrorFigures() []TerrainErrorFigure {
	const (
		mukul = "Mukul et al., Sci. Rep. 7:41672 (2017)"
		aziz  = "Aziz et al., Int. J. Geoinformatics"
		apeh  = "Apeh et al., J. Geogr. Inf. Syst. 11(2) (2019)"
		li    = "Li et al., Int. J. Digital Earth (2022)"
		rodr  = "Rodriguez et al. (2006), LE90/1.6449, from memory"
	)
	return []TerrainErrorFigure{
		{"SRTM", 16 / le90, "specification, LE90 16 m", mukul},
		{"SRTM", 5.67, "Malaysia, 7757 GNSS points", aziz},
		{"SRTM", 7.47, "Nigeria, GPS", apeh},
		{"SRTM", 5.6 / le90, "Africa, LE90 5.6 m", rodr},
		{"SRTM", 6.2 / le90, "Eurasia, LE90 6.2 m", rodr},
		{"SRTM", 9.0 / le90, "North America, LE90 9.0 m", rodr},
		{"NASADEM", 3.66, "Malaysia, 7757 GNSS points", aziz},
		{"NASADEM", 6.59, "China, 5 rough areas, laser altimeter", li},
		{"AW3D30", 5.40, "Nigeria, GPS", apeh},
		{"AW3D30", 6.63, "China, 5 rough areas, laser altimeter", li},
		{"Copernicus GLO-30", 6.73, "China, 5 rough areas, laser altimeter", li},
		{"Copernicus GLO-30", 4 / le90, "specification, LE90 4 m", "product handbook, from memory"},
		{"MERIT", 2.67, "Malaysia, 7757 GNSS points", aziz},
		{"ASTER", 20.03, "Nigeria, GPS, version 2", apeh},
	}
}

// TerrainModelError is the vertical error to assume for a terrain model.
type TerrainModelError struct {
	Product string
	SigmaM  float64 // standard deviation, m
	// Surface tells that the model shows canopy and roofs where they are dense:
	// clutter heights must not be added to it.
	Surface bool
	Source  string
}

// UnknownTerrainErrorM is the standard deviation for a model of unknown origin:
// 6 m, engineering judgement near the root mean square (5.9 m) of all figures
// for SRTM, NASADEM, AW3D30 and Copernicus GLO-30, from which most files stem.
const UnknownTerrainErrorM = 6.0

// TerrainErrors returns one figure for each product, the root mean square of
// what TerrainErrorFigures holds, which weighs good ground and bad alike.
func TerrainErrors() []TerrainModelError {
	figures := TerrainErrorFigures()
	var all []TerrainModelError
	for i, f := range figures {
		if i > 0 && figures[i-1].Product == f.Product {
			continue
		}
		n, squares := 0, 0.0
		for _, g := range figures {
			if g.Product == f.Product {
				n++
				squares += g.SigmaM * g.SigmaM
			}
		}
		all = append(all, TerrainModelError{
			Product: f.Product,
			SigmaM:  math.Sqrt(squares / float64(n)),
			Surface: f.Product != "MERIT", // trees were taken off it, roofs were not (from memory)
			Source:  fmt.Sprintf("root mean square of %d figures, first from %s", n, f.Source),
		})
	}
	return all
}

// TerrainErrorByName finds an entry of TerrainErrors, whatever the case of the
// letters. For another name it returns UnknownTerrainErrorM, taken as a surface
// model, together with an error that lists the names there are: a caller who
// accepts the default ignores the error, or prints it as a note.
func TerrainErrorByName(product string) (TerrainModelError, error) {
	all := TerrainErrors()
	i := slices.IndexFunc(all, func(e TerrainModelError) bool { return strings.EqualFold(product, e.Product) })
	if i >= 0 {
		return all[i], nil
	}
	names := make([]string, len(all))
	for j, e := range all {
		names[j] = e.Product
	}
	unknown := TerrainModelError{Product: product, SigmaM: UnknownTerrainErrorM, Surface: true,
		Source: "judgement, see UnknownTerrainErrorM"}
	return unknown, fmt.Errorf("terrain model %q, known are %s; %v m is assumed", product, strings.Join(names, ", "),
		UnknownTerrainErrorM)
}

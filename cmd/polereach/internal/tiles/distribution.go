package tiles

import (
	"fmt"
	"net/url"
	"path"
	"strings"
)

// Distribution is where tiles are to be had without an account.
type Distribution struct {
	Word    string // by which the command line knows it
	Title   string
	Licence string
	Credit  string // what its licence asks to be said
	// Address is a template: {tile} stands for N36W085, {lat} for N36, {lon} for W085.
	Address string
	// SouthDeg and NorthDeg bound the latitudes of which it has anything.
	SouthDeg, NorthDeg int
	// SideDeg is the side of a tile, degrees, 3 or 1; 0 means 1.
	SideDeg int
	// mend changes a tile before it is stored; nil: nothing to mend.
	mend func(t Tile, data []byte) ([]byte, error)
}

// Distributions are those known, the one that is asked unless another is named first.
var Distributions = []Distribution{{
	Word:    "srtm",
	Title:   "SRTM, 1 arc-second (SRTMGL1 version 3), from the European Space Agency's copy",
	Licence: "open data of the US government",
	Credit:  "NASA JPL: NASA Shuttle Radar Topography Mission Global 1 arc second, doi:10.5067/MEaSUREs/SRTM/SRTMGL1.003",
	Address: "https://step.esa.int/auxdata/dem/SRTMGL1/{tile}.SRTMGL1.hgt.zip", SouthDeg: -56, NorthDeg: 60,
}, {
	Word:    "glo30",
	Title:   "Copernicus DEM GLO-30, 1 arc-second, a surface model of 2011 to 2015",
	Licence: "free to use with its credit, licence of the Copernicus DEM",
	Credit: "(c) DLR e.V. 2010-2014 and (c) Airbus Defence and Space GmbH 2014-2018, provided under COPERNICUS by the " +
		"European Union and ESA; all rights reserved",
	Address: "https://copernicus-dem-30m.s3.amazonaws.com/Copernicus_DSM_COG_10_{lat}_00_{lon}_00_DEM/" +
		"Copernicus_DSM_COG_10_{lat}_00_{lon}_00_DEM.tif", SouthDeg: -90, NorthDeg: 90,
}, {
	Word:    "joined",
	Title:   "open terrain tiles joined of many surveys, 1 arc-second where these have it",
	Licence: "open data, each survey with its own terms",
	Credit: "ArcticDEM (DigitalGlobe, NSF), Geoscience Australia, offene Daten Österreichs, Open Government Canada, " +
		"EU-DEM (Copernicus), NOAA ETOPO1, INEGI, Land Information New Zealand, Kartverket, Environment Agency, " +
		"USGS 3DEP, GMTED2010 and SRTM; in full: https://registry.opendata.aws/terrain-tiles/",
	Address: "https://s3.amazonaws.com/elevation-tiles-prod/skadi/{lat}/{tile}.hgt.gz", SouthDeg: -90, NorthDeg: 90,
	mend: seaAtZero,
}}

// Cover is the distribution of what stands on the ground.
var Cover = Distribution{
	Word:    "worldcover",
	Title:   "ESA WorldCover 2021 v200, classes of what stands on the ground, 10 m",
	Licence: "CC BY 4.0",
	Credit: "(c) ESA WorldCover project / Contains modified Copernicus Sentinel data (2021) processed by ESA WorldCover " +
		"consortium, doi:10.5281/zenodo.7254221",
	Address: "https://esa-worldcover.s3.eu-central-1.amazonaws.com/v200/2021/map/" +
		"ESA_WorldCover_10m_2021_v200_{tile}_Map.tif",
	SouthDeg: -60, NorthDeg: 84, SideDeg: 3,
}

// ChooseCover is Choose for what stands on the ground; "" is Cover.
func ChooseCover(from string) (Distribution, error) {
	if from == "" || from == Cover.Word {
		return Cover, nil
	}
	d, err := choose(from, []Distribution{Cover})
	d.SideDeg = Cover.SideDeg
	return d, err
}

// Choose finds a distribution by its word, or makes one of an address of http or https
// with {tile}, or {lat} and {lon}, in it.
func Choose(from string) (Distribution, error) { return choose(from, Distributions) }

func choose(from string, known []Distribution) (Distribution, error) {
	var words []string
	for _, d := range known {
		if d.Word == from {
			return d, nil
		}
		words = append(words, d.Word)
	}
	d := Distribution{Title: from, Licence: "not known here; ask its provider",
		Credit:  "not known here; ask its provider",
		Address: from, SouthDeg: -90, NorthDeg: 90}
	u, err := url.Parse(d.address(Tile{}))
	placed := strings.Contains(from, "{tile}") || strings.Contains(from, "{lat}") && strings.Contains(from, "{lon}")
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.User != nil || !placed {
		return d, fmt.Errorf("found %q, allowed %s, or an address such as https://example.org/{tile}.hgt.zip, in which "+
			"{tile} stands for N36W085, {lat} for N36 and {lon} for W085", from, strings.Join(words, ", "))
	}
	return d, nil
}

func (d Distribution) side() int { return max(d.SideDeg, 1) }

func (d Distribution) address(t Tile) string {
	return strings.NewReplacer("{tile}", t.String(), "{lat}", t.lat(), "{lon}", t.lon()).Replace(d.Address)
}

// file is the name under which a tile is stored: that which it has at its provider.
func (d Distribution) file(t Tile) string {
	u, err := url.Parse(d.address(t))
	if err != nil {
		return t.String()
	}
	return path.Base(u.Path)
}

func (d Distribution) covers(t Tile) bool {
	return t.LatDeg > d.SouthDeg-d.side() && t.LatDeg < d.NorthDeg
}

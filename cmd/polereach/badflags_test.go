package main

import (
	"strings"
	"testing"
)

func TestBadFlagsAreRefused(t *testing.T) {
	plan := demo + "plan.geojson"
	link := []string{"link", "-84.24,36.5565", "-84.15,36.65", "--height-m", "5", "--dem", demo + "dem"}
	for name, c := range map[string]struct {
		args []string
		want []string
	}{
		"unknown station":   {[]string{"site", "--pole", "Sorel Rigde", plan}, []string{"Sorel Rigde", `"Sorrel Ridge"`}},
		"no pole":           {[]string{"site", plan}, []string{"--pole", "Tanager Knob"}},
		"pole and at":       {[]string{"site", "--pole", "x", "--at", "1,2", plan}, []string{"not both"}},
		"at without height": {[]string{"site", "--at", "-84.24,36.55", plan}, []string{"height_m"}},
		"two plans":         {[]string{"site", "--pole", "x", plan, plan}, []string{"found 2"}},
		"SF 4":              {append(link, "--sf", "4"), []string{"4", "5 to 12"}},
		"SF 13":             {append(link, "--sf", "13"), []string{"13", "5 to 12"}},
		"bandwidth":         {append(link, "--bw-khz", "100"), []string{"100", "62.5"}},
		"coding rate":       {append(link, "--cr", "9"), []string{"cr", "9", "5 to 8"}},
		"frequency low":     {append(link, "--freq-mhz", "99"), []string{"freq_mhz", "99", "100 to 3000"}},
		"frequency high":    {append(link, "--freq-mhz", "3001"), []string{"freq_mhz", "3001"}},
		"frequency NaN":     {append(link, "--freq-mhz", "NaN"), []string{"freq_mhz", "NaN"}},
		"height 0":          {[]string{"link", "1,2", "1,3", "--height-m", "0"}, []string{"height-m", "0"}},
		"ends all at once": {append(link, "--tx-a-dbm", "90", "--hardware-b-db", "41", "--inside-b", "marsh", "--height-a-m",
			"-2", "--k", "99"),
			[]string{`"A": tx_dbm: found 90`, `"B": hardware_db: found 41, allowed 0 to 40 dB`, "inside-b", "marsh",
				"free, open", "height-a-m: found -2", "k: found 99"}},
		"hardware": {append(link, "--hardware-db", "-1"), []string{"hardware_db", "-1", "0 to 40 dB"}},
		"inside":   {append(link, "--inside", "marsh"), []string{"inside", "marsh", "free, open, suburban"}},
		"wood and class": {append(link, "--wood-a-m", "40", "--inside-a", "urban"),
			[]string{"clutter twice", "inside urban", "wood_m 40"}},
		"no height":   {[]string{"link", "1,2", "1,3"}, []string{"height-a-m", "height-b-m"}},
		"height text": {[]string{"link", "1,2", "1,3", "--height-m", "tall"}, []string{"tall"}},
		"swapped":     {[]string{"link", "36.5,-94.2", "36.6,-94.2", "--height-m", "5"}, []string{"swapped"}},
		"half a coordinate": {[]string{"link", "-84.24", "-84.15,36.65", "--height-m", "5"},
			[]string{"-84.24", "LON,LAT"}},
		"same ends":          {[]string{"link", "-84.24,36.55", "-84.24,36.55", "--height-m", "5"}, []string{"both ends"}},
		"unknown flag":       {append(link, "--colour", "red"), []string{"colour"}},
		"flag without value": {append(link, "--sf"), []string{"--sf", "value"}},
		"unknown command":    {[]string{"sites"}, []string{"sites", "airtime"}},
		"unknown format":     {append(link, "--format", "xml"), []string{"xml", "json"}},
		"no terrain":         {[]string{"link", "-84.24,36.5", "-84.1,36.6", "--height-m", "5"}, []string{"--dem"}},
		"k 0":                {append(link, "--k", "0"), []string{"k", "0.5 to 10"}},
		"everything at once": {append(link, "--sf", "4", "--k", "99", "--tx-dbm", "90"),
			[]string{"5 to 12", "k: found 99", "tx_dbm: found 90"}},
		"k NaN":          {append(link, "--k", "NaN"), []string{"k", "NaN", "0.5 to 10"}},
		"wanted 49 %":    {append(link, "--want-percent", "49"), []string{"want_percent", "49", "50 to 99.9"}},
		"time 0 %":       {append(link, "--time-percent", "0"), []string{"time-percent", "1 to 99.9"}},
		"time 100 %":     {append(link, "--time-percent", "100"), []string{"time_percent", "100", "1 to 99.9"}},
		"wanted 0 %":     {append(link, "--want-percent", "0"), []string{"want-percent", "50 to 99.9"}},
		"fading unknown": {append(link, "--fading", "fast"), []string{"fading", "fast", "rician"}},
		"Rician factor": {append(link, "--fading", "rician", "--rician-k-db", "61"),
			[]string{"rician", "61", "-60 to 60"}},
		"unused Rician factor": {append(link, "--rician-k-db", "NaN"), []string{"rician-k-db", "NaN", "-60 to 60"}},
		"cover unknown":        {append(link, "--cover", "marsh", "--bare-earth"), []string{"cover", "marsh", "suburban"}},
		"cover on a surface":   {append(link, "--cover", "wood"), []string{"cover", "twice", "bare earth"}},
		"cover and town": {append(link, "--cover", "wood", "--bare-earth", "--town-percent", "50"),
			[]string{"clutter twice", "cover", "town_percent"}},
		"town of all places": {append(link, "--town-percent", "100"), []string{"town_percent", "100", "1 to 99"}},
		"town below 500 MHz": {append(link, "--town-percent", "50", "--freq-mhz", "433"), []string{"town_percent", "433",
			"500 MHz"}},
		"terrain unknown": {append(link, "--dem-model", "Atlas"), []string{"dem-model", "Atlas", "SRTM"}},
		"bare surface": {append(link, "--dem-model", "SRTM", "--bare-earth"), []string{"bare-earth", "SRTM",
			"surface model"}},
		"terrain error 0": {append(link, "--dem-error-m", "0"), []string{"dem-error-m", "0", "50 m"}},
		"terrain error":   {append(link, "--dem-error-m", "51"), []string{"dem_error_m", "51", "50 m"}},
		"noise figure 0":  {append(link, "--noise-figure-db", "0"), []string{"noise-figure-db", "above 0 to 30"}},
		"noise rise":      {append(link, "--noise-rise-db", "-1"), []string{"noise_rise_db", "-1", "0 to 60"}},
		"polarisation":    {append(link, "--polarisation", "round"), []string{"polarisation", "round", "horizontal"}},
		"band unknown":    {append(link, "--band", "eu9"), []string{"band", "eu9", "eu868"}},
		"two poles": {[]string{"site", "--pole", "Sorrel Ridge", "--pole=Tanager Knob", plan},
			[]string{"--pole is given twice", `"Sorrel Ridge"`, `"Tanager Knob"`}},
		"two frequencies": {append(link, "--freq-mhz", "868.1", "--freq-mhz", "869.5"),
			[]string{"--freq-mhz is given twice"}},
		"levels as shares": {[]string{"coverage", "--pole", "Sorrel Ridge", "--levels", "0.5,90", plan},
			[]string{"levels", "0.5,90", "write 50 for 0.5"}},
		"area reversed": {[]string{"coverage", "--pole", "Sorrel Ridge", "--area", "-84.1,36.4,-84.4,36.7", plan},
			[]string{"area", "-84.4", "west of", "exchange"}},
		"area upside down": {[]string{"coverage", "--pole", "Sorrel Ridge", "--area", "-84.4,36.7,-84.1,36.4", plan},
			[]string{"area", "southern"}},
		"picture's name": {[]string{"coverage", "--pole", "Sorrel Ridge", "--png", "x.jpg", "--asc", "x.png", "--tif",
			"x", "--geojson-contours", "x.kml", plan}, []string{`png: found "x.jpg"`, ".png", `asc: found "x.png"`,
			`tif: found "x"`, `geojson-contours: found "x.kml"`}},
		"outside the band": {append(link, "--band", "us915", "--freq-mhz", "868.1"),
			[]string{"freq-mhz", "868.1", "us915", "902-928 MHz", "902.3"}},
		"airtime off the band": {[]string{"airtime", "--band", "eu868", "--freq-mhz", "915"},
			[]string{"freq-mhz", "915", "eu868", "863-868.6", "868.1"}},
		"sun off the band": {[]string{"sun", "--pole", "Sorrel Ridge", "--band", "eu868", plan},
			[]string{"freq-mhz: found 915", "eu868"}},
		"coverage at 10 % of time": {[]string{"coverage", "--pole", "Sorrel Ridge", "--time-percent", "10", plan},
			[]string{"time_percent", "50 to 99.9", "single links"}},
		"spots at 10 % of time": {[]string{"spots", "--time-percent", "10", plan}, []string{"time_percent", "50 to 99.9"}},
		"refractivity 0": {append(link, "--surface-refractivity", "0"),
			[]string{"surface-refractivity", "250 to 450"}},
		"spots off the band": {[]string{"spots", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"coverage off the band": {[]string{"coverage", "--pole", "Sorrel Ridge", "--band", "eu868", plan},
			[]string{"freq-mhz: found 915", "eu868"}},
		"coverage band unknown": {[]string{"coverage", "--pole", "Sorrel Ridge", "--band", "mars915", plan},
			[]string{"mars915", "eu868"}},
		"plan off the band":   {[]string{"plan", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"strict without band": {append(link, "--strict-rules"), []string{"strict-rules", "--band"}},
		"packets per hour": {append(link, "--packets-per-hour", "-1"), []string{"packets-per-hour", "-1",
			"0 to 1000000"}},
		"empty packet": {append(link, "--payload-b", "0", "--preamble", "0"),
			[]string{"payload: found 0", "preamble: found 0"}},
		"tallest pole": {[]string{"site", "--pole", "Sorrel Ridge", "--max-height-m", "301", plan},
			[]string{"max-height-m", "301", "300 m"}},
		"airtime all at once": {[]string{"airtime", "--sf", "3", "--payload-b", "300", "--band", "eu9", "--tx-dbm", "99",
			"--freq-mhz", "NaN"}, []string{"sf: found 3", "payload: found 300", "band", "tx-dbm: found 99",
			"freq-mhz: found NaN, allowed 100 to 3000 MHz"}},
		"payload":               {[]string{"airtime", "--payload-b", "256"}, []string{"256", "255"}},
		"SF5 on the old family": {[]string{"airtime", "--sf", "5", "--chip", "sx127x"}, []string{"SF5"}},
	} {
		t.Run(name, func(t *testing.T) { refused(t, polereach(t, c.args...), c.want...) })
	}
}

// Without a stated frequency a band brings its own channel; a wider carrier that does not
// fit round the first takes the next (LoRaWAN regional parameters, EU868: 868.1 and
// 868.3 MHz; US915: 902.3 MHz).
func TestBandBringsItsChannel(t *testing.T) {
	link := []string{"link", "-84.24,36.5565", "-84.15,36.65", "--height-m", "5", "--dem", demo + "dem"}
	for _, c := range []struct {
		args []string
		want string
	}{
		{append(link, "--band", "us915"), "902.3 MHz"},
		{append(link, "--band", "eu868"), "868.1 MHz"},
		{append(link, "--band", "eu868", "--bw-khz", "250"), "868.3 MHz"},
		{link, "868.1 MHz"},
		{append(link, "--band", "us915", "--freq-mhz", "915"), "915 MHz"},
		{[]string{"airtime", "--band", "kr920"}, "band kr920, 922.1 MHz"},
		{[]string{"airtime", "--band", "us915"}, "band us915, 902.3 MHz"},
		{[]string{"airtime", "--band", "in865"}, "second-hand: one quotation of the notification"},
		{[]string{"airtime", "--band", "in865", "--format", "json"}, `"second_hand": "one quotation of the notification`},
	} {
		if r := polereach(t, c.args...); !strings.Contains(r.out, c.want) {
			t.Errorf("%q: lacks %q:\n%s%s", c.args, c.want, r.out, r.err)
		}
	}
}

// A link of the plan may state a frequency too.
func TestLinkOutsideTheBand(t *testing.T) {
	path := write(t, "p.geojson", []byte(collection(
		feature(`{"name":"Ash","height_m":5}`, point("[-84.24,36.55]")), feature(`{"name":"Birch","height_m":5}`,
			point("[-84.22,36.55]")),
		feature(`{"from":"Ash","to":"Birch","freq_mhz":433.9}`,
			`{"type":"LineString","coordinates":[[-84.24,36.55],[-84.22,36.55]]}`))))
	for _, args := range [][]string{{"site", "--pole", "Ash"}, {"plan"}} {
		r := polereach(t, append(args, "--band", "eu868", "--dem", demo+"dem", path)...)
		refused(t, r, "feature 2", "Ash - Birch", "freq_mhz: found 433.9", "eu868")
	}
}

// What each says by itself is fine, and together it is not: told for every
// station it concerns, with what to change.
func TestContradictionsBetweenPlanAndFlags(t *testing.T) {
	at := func(lon string) string { return point("[" + lon + ",36.55]") }
	path := write(t, "p.geojson", []byte(collection(
		feature(`{"name":"Ash","height_m":5,"inside":"wood"}`, at("-84.24")),
		feature(`{"name":"Birch","height_m":5,"wood_m":40}`, at("-84.22")),
		feature(`{"name":"Cedar","height_m":5}`, at("-84.20")))))
	for name, c := range map[string]struct {
		flags, want []string
	}{
		"cover": {[]string{"--cover", "wood", "--bare-earth"}, []string{`"Ash"`, `"Birch"`, "clutter twice",
			"cover wood", "give one"}},
		"wood at 2.45 GHz": {[]string{"--freq-mhz", "2450"}, []string{`"Birch"`, "woodland", "frequency: found 2450",
			"2117.5 MHz"}},
	} {
		t.Run(name, func(t *testing.T) {
			args := append([]string{"site", "--pole", "Ash", "--dem", demo + "dem", path}, c.flags...)
			r := polereach(t, args...)
			refused(t, r, c.want...)
			if strings.Contains(r.err, `station "Cedar"`) {
				t.Errorf("Cedar is named too:\n%s", r.err)
			}
		})
	}
}

func TestBadRadioFileIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		data string
		want []string
	}{
		"unknown key":  {`{"freq_mhz": 915, "power": 3}`, []string{"r.json", "power", "tx_dbm"}},
		"not JSON":     {`freq_mhz = 915`, []string{"r.json"}},
		"a list":       {`[915]`, []string{"r.json", "object"}},
		"near a key":   {`{"height-m": 5}`, []string{`"height-m": no such setting, but height_m; allowed`}},
		"text":         {`{"sf": "nine"}`, []string{"r.json", "sf", "nine"}},
		"out of range": {`{"sf": 4, "freq_mhz": 5}`, []string{"5 to 12", "100 to 3000"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "r.json", []byte(c.data))
			refused(t, polereach(t, "site", "--pole", "Sorrel Ridge", "--radio", path, demo+"plan.geojson"), c.want...)
			if r := polereach(t, "site", "--pole", "X", "--radio", path, demo+"plan.geojson"); strings.Contains(r.err,
				"unmarshal") {
				t.Errorf("a function of Go in %s", r.err)
			}
		})
	}
}

package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// write makes a file in a fresh folder and returns its path.
func write(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func refused(t *testing.T, r result, words ...string) {
	t.Helper()
	if r.code != exitUsage || r.out != "" {
		t.Errorf("exit %d, want 2; stdout %q", r.code, r.out)
	}
	for _, w := range words {
		if !strings.Contains(r.err, w) {
			t.Errorf("stderr does not say %q:\n%s", w, r.err)
		}
	}
}

const goodPoint = `{"type":"Feature","properties":{"name":"Elm Top","height_m":5},"geometry":{"type":"Point","coordinates":[-84.24,36.55]}}`

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

func feature(properties, geometry string) string {
	return `{"type":"Feature","properties":` + properties + `,"geometry":` + geometry + `}`
}

func point(coordinates string) string {
	return `{"type":"Point","coordinates":` + coordinates + `}`
}

func TestBadPlanIsRefused(t *testing.T) {
	good := point("[-84.2,36.5]")
	for name, c := range map[string]struct {
		plan string
		want []string
	}{
		"empty file":               {"", []string{"p.geojson", "empty"}},
		"not JSON":                 {"{", []string{"p.geojson"}},
		"not a FeatureCollection":  {`{"type":"Topology"}`, []string{"FeatureCollection", "Topology"}},
		"no points":                {collection(), []string{"p.geojson"}},
		"point without name":       {collection(feature(`{"height_m":5}`, good)), []string{"feature 0", "name"}},
		"duplicate names":          {collection(goodPoint, goodPoint), []string{"feature 1", "Elm Top", "name"}},
		"coordinates swapped":      {collection(feature(`{"name":"A","height_m":5}`, point("[36.5,-94.2]"))), []string{"feature 0", `"A"`, "swapped"}},
		"longitude out of range":   {collection(feature(`{"name":"A","height_m":5}`, point("[-190,36.5]"))), []string{"feature 0", "-190", "180"}},
		"null geometry":            {collection(feature(`{"name":"A","height_m":5}`, "null")), []string{"feature 0", "geometry", "null"}},
		"3-D coordinate":           {collection(feature(`{"name":"A","height_m":5}`, point("[-84.2,36.5,300]"))), []string{"feature 0", "height_m"}},
		"height 0":                 {collection(feature(`{"name":"A","height_m":0}`, good)), []string{"feature 0", "height_m", "0"}},
		"height negative":          {collection(feature(`{"name":"A","height_m":-3}`, good)), []string{"height_m", "-3"}},
		"height NaN":               {collection(feature(`{"name":"A","height_m":NaN}`, good)), []string{"p.geojson"}},
		"height text":              {collection(feature(`{"name":"A","height_m":"tall"}`, good)), []string{"height_m", "tall"}},
		"link to nobody":           {collection(goodPoint, feature(`{"from":"Elm Top","to":"Elm Tip"}`, `{"type":"LineString","coordinates":[[-84.24,36.55],[-84.2,36.5]]}`)), []string{"feature 1", "to", "Elm Tip", "Elm Top"}},
		"link with SF 4":           {collection(goodPoint, feature(`{"name":"B","height_m":5}`, good), feature(`{"from":"Elm Top","to":"B","sf":4}`, `{"type":"LineString","coordinates":[[-84.24,36.55],[-84.2,36.5]]}`)), []string{"feature 2", "sf", "4"}},
		"wood too deep":            {collection(feature(`{"name":"A","height_m":5,"wood_m":2001}`, good)), []string{"wood_m", "2001", "0 to 2000 m"}},
		"clutter unknown":          {collection(feature(`{"name":"A","height_m":5,"inside":"marsh"}`, good)), []string{"inside", "marsh", "dense_urban"}},
		"clutter top":              {collection(feature(`{"name":"A","height_m":5,"inside":"wood","clutter_top_m":101}`, good)), []string{"clutter_top_m", "101", "0 to 100 m"}},
		"clutter twice":            {collection(feature(`{"name":"A","height_m":5,"inside":"wood","wood_m":30}`, good)), []string{"wood_m", `inside "wood"`, "give one"}},
		"sector without azimuth":   {collection(feature(`{"name":"A","height_m":5,"beam":"sector"}`, good)), []string{"azimuth_deg", "missing", "sector", "0 to 360 deg"}},
		"beamwidth":                {collection(feature(`{"name":"A","height_m":5,"beam":"sector","azimuth_deg":9,"beamwidth_deg":4}`, good)), []string{"beamwidth_deg", "4", "5 to 180 deg"}},
		"tilt":                     {collection(feature(`{"name":"A","height_m":5,"tilt_deg":46}`, good)), []string{"tilt_deg", "46", "-45 to 45 deg"}},
		"polarisation unknown":     {collection(feature(`{"name":"A","height_m":5,"polarisation":"circular"}`, good)), []string{"polarisation", "circular", "horizontal"}},
		"cable unknown":            {collection(feature(`{"name":"A","height_m":5,"coax":"RG-59","coax_m":3}`, good)), []string{"coax", "RG-59", "RG-58"}},
		"cable without length":     {collection(feature(`{"name":"A","height_m":5,"coax":"RG-58"}`, good)), []string{"coax_m", "missing", "0 to 200 m"}},
		"cable too long":           {collection(feature(`{"name":"A","height_m":5,"coax":"RG-58","coax_m":201}`, good)), []string{"coax_m", "201", "0 to 200 m"}},
		"VSWR below 1":             {collection(feature(`{"name":"A","height_m":5,"vswr":0.9}`, good)), []string{"vswr", "0.9", "1 to 10"}},
		"mount unknown":            {collection(feature(`{"name":"A","height_m":5,"mount":"left"}`, good)), []string{"mount", "left", "side"}},
		"noise unknown":            {collection(feature(`{"name":"A","height_m":5,"noise":"loud"}`, good)), []string{"noise", "loud", "city"}},
		"noise figure 0":           {collection(feature(`{"name":"A","height_m":5,"noise_figure_db":0}`, good)), []string{"noise_figure_db", "above 0 to 30 dB"}},
		"noise rise":               {collection(feature(`{"name":"A","height_m":5,"noise_rise_db":61}`, good)), []string{"noise_rise_db", "61", "0 to 60 dB"}},
		"a third of a transmitter": {collection(feature(`{"name":"A","height_m":5,"nearby_tx_dbm":20}`, good)), []string{"nearby_offset_mhz", "nearby_isolation_db", "missing"}},
		"nearby on the channel":    {collection(feature(`{"name":"A","height_m":5,"nearby_tx_dbm":20,"nearby_offset_mhz":0,"nearby_isolation_db":30}`, good)), []string{"nearby_offset_mhz", "0", "1 to 100 MHz"}},
		"several at once":          {collection(feature(`{"name":"A","height_m":0,"vswr":11,"mount":"left"}`, good)), []string{"height_m", "vswr", "mount"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "p.geojson", []byte(c.plan))
			refused(t, polereach(t, "site", "--pole", "Elm Top", "--dem", demo+"dem", path), c.want...)
		})
	}
	refused(t, polereach(t, "site", "--pole", "x", filepath.Join(t.TempDir(), "none.geojson")), "none.geojson")
}

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
		"ends all at once": {append(link, "--tx-a-dbm", "90", "--hardware-b-db", "41", "--inside-b", "marsh", "--height-a-m", "-2", "--k", "99"),
			[]string{`"A": tx_dbm: found 90`, `"B": hardware_db: found 41, allowed 0 to 40 dB`, "inside-b", "marsh", "free, open", "height-a-m: found -2", "k: found 99"}},
		"hardware":              {append(link, "--hardware-db", "-1"), []string{"hardware_db", "-1", "0 to 40 dB"}},
		"inside":                {append(link, "--inside", "marsh"), []string{"inside", "marsh", "free, open, suburban"}},
		"wood and class":        {append(link, "--wood-a-m", "40", "--inside-a", "urban"), []string{"clutter twice", "inside urban", "wood_m 40"}},
		"no height":             {[]string{"link", "1,2", "1,3"}, []string{"height-a-m", "height-b-m"}},
		"height text":           {[]string{"link", "1,2", "1,3", "--height-m", "tall"}, []string{"tall"}},
		"swapped":               {[]string{"link", "36.5,-94.2", "36.6,-94.2", "--height-m", "5"}, []string{"swapped"}},
		"half a coordinate":     {[]string{"link", "-84.24", "-84.15,36.65", "--height-m", "5"}, []string{"-84.24", "LON,LAT"}},
		"same ends":             {[]string{"link", "-84.24,36.55", "-84.24,36.55", "--height-m", "5"}, []string{"both ends"}},
		"unknown flag":          {append(link, "--colour", "red"), []string{"colour"}},
		"flag without value":    {append(link, "--sf"), []string{"--sf", "value"}},
		"unknown command":       {[]string{"sites"}, []string{"sites", "airtime"}},
		"unknown format":        {append(link, "--format", "xml"), []string{"xml", "json"}},
		"no terrain":            {[]string{"link", "-84.24,36.5", "-84.1,36.6", "--height-m", "5"}, []string{"--dem"}},
		"k 0":                   {append(link, "--k", "0"), []string{"k", "0.5 to 10"}},
		"everything at once":    {append(link, "--sf", "4", "--k", "99", "--tx-dbm", "90"), []string{"5 to 12", "k: found 99", "tx_dbm: found 90"}},
		"k NaN":                 {append(link, "--k", "NaN"), []string{"k", "NaN", "0.5 to 10"}},
		"wanted 49 %":           {append(link, "--want-percent", "49"), []string{"want_percent", "49", "50 to 99.9"}},
		"wanted 0 %":            {append(link, "--want-percent", "0"), []string{"want-percent", "50 to 99.9"}},
		"fading unknown":        {append(link, "--fading", "fast"), []string{"fading", "fast", "rician"}},
		"Rician factor":         {append(link, "--fading", "rician", "--rician-k-db", "61"), []string{"rician", "61", "-60 to 60"}},
		"unused Rician factor":  {append(link, "--rician-k-db", "NaN"), []string{"rician-k-db", "NaN", "-60 to 60"}},
		"cover unknown":         {append(link, "--cover", "marsh", "--bare-earth"), []string{"cover", "marsh", "suburban"}},
		"cover on a surface":    {append(link, "--cover", "wood"), []string{"cover", "twice", "bare earth"}},
		"cover and town":        {append(link, "--cover", "wood", "--bare-earth", "--town-percent", "50"), []string{"clutter twice", "cover", "town_percent"}},
		"town of all places":    {append(link, "--town-percent", "100"), []string{"town_percent", "100", "1 to 99"}},
		"town below 500 MHz":    {append(link, "--town-percent", "50", "--freq-mhz", "433"), []string{"town_percent", "433", "500 MHz"}},
		"terrain unknown":       {append(link, "--dem-model", "Atlas"), []string{"dem-model", "Atlas", "SRTM"}},
		"bare surface":          {append(link, "--dem-model", "SRTM", "--bare-earth"), []string{"bare-earth", "SRTM", "surface model"}},
		"terrain error 0":       {append(link, "--dem-error-m", "0"), []string{"dem-error-m", "0", "50 m"}},
		"terrain error":         {append(link, "--dem-error-m", "51"), []string{"dem_error_m", "51", "50 m"}},
		"noise figure 0":        {append(link, "--noise-figure-db", "0"), []string{"noise-figure-db", "above 0 to 30"}},
		"noise rise":            {append(link, "--noise-rise-db", "-1"), []string{"noise_rise_db", "-1", "0 to 60"}},
		"polarisation":          {append(link, "--polarisation", "round"), []string{"polarisation", "round", "horizontal"}},
		"band unknown":          {append(link, "--band", "eu9"), []string{"band", "eu9", "eu868"}},
		"two poles":             {[]string{"site", "--pole", "Sorrel Ridge", "--pole=Tanager Knob", plan}, []string{"--pole is given twice", `"Sorrel Ridge"`, `"Tanager Knob"`}},
		"two frequencies":       {append(link, "--freq-mhz", "868.1", "--freq-mhz", "869.5"), []string{"--freq-mhz is given twice"}},
		"levels as shares":      {[]string{"coverage", "--pole", "Sorrel Ridge", "--levels", "0.5,90", plan}, []string{"levels", "0.5,90", "write 50 for 0.5"}},
		"area reversed":         {[]string{"coverage", "--pole", "Sorrel Ridge", "--area", "-84.1,36.4,-84.4,36.7", plan}, []string{"area", "-84.4", "west of", "exchange"}},
		"area upside down":      {[]string{"coverage", "--pole", "Sorrel Ridge", "--area", "-84.4,36.7,-84.1,36.4", plan}, []string{"area", "southern"}},
		"picture's name":        {[]string{"coverage", "--pole", "Sorrel Ridge", "--png", "x.jpg", "--asc", "x.png", "--tif", "x", "--geojson-contours", "x.kml", plan}, []string{`png: found "x.jpg"`, ".png", `asc: found "x.png"`, `tif: found "x"`, `geojson-contours: found "x.kml"`}},
		"outside the band":      {append(link, "--band", "us915", "--freq-mhz", "868.1"), []string{"freq-mhz", "868.1", "us915", "902-928 MHz", "902.3"}},
		"airtime off the band":  {[]string{"airtime", "--band", "eu868", "--freq-mhz", "915"}, []string{"freq-mhz", "915", "eu868", "863-868.6", "868.1"}},
		"sun off the band":      {[]string{"sun", "--pole", "Sorrel Ridge", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"spots off the band":    {[]string{"spots", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"coverage off the band": {[]string{"coverage", "--pole", "Sorrel Ridge", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"coverage band unknown": {[]string{"coverage", "--pole", "Sorrel Ridge", "--band", "mars915", plan}, []string{"mars915", "eu868"}},
		"plan off the band":     {[]string{"plan", "--band", "eu868", plan}, []string{"freq-mhz: found 915", "eu868"}},
		"strict without band":   {append(link, "--strict-rules"), []string{"strict-rules", "--band"}},
		"packets per hour":      {append(link, "--packets-per-hour", "-1"), []string{"packets-per-hour", "-1", "0 to 1000000"}},
		"empty packet":          {append(link, "--payload-b", "0", "--preamble", "0"), []string{"payload: found 0", "preamble: found 0"}},
		"tallest pole":          {[]string{"site", "--pole", "Sorrel Ridge", "--max-height-m", "301", plan}, []string{"max-height-m", "301", "300 m"}},
		"airtime all at once":   {[]string{"airtime", "--sf", "3", "--payload-b", "300", "--band", "eu9", "--tx-dbm", "99", "--freq-mhz", "NaN"}, []string{"sf: found 3", "payload: found 300", "band", "tx-dbm: found 99", "freq-mhz: found NaN, allowed 100 to 3000 MHz"}},
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
		feature(`{"name":"Ash","height_m":5}`, point("[-84.24,36.55]")), feature(`{"name":"Birch","height_m":5}`, point("[-84.22,36.55]")),
		feature(`{"from":"Ash","to":"Birch","freq_mhz":433.9}`, `{"type":"LineString","coordinates":[[-84.24,36.55],[-84.22,36.55]]}`))))
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
		"cover":            {[]string{"--cover", "wood", "--bare-earth"}, []string{`"Ash"`, `"Birch"`, "clutter twice", "cover wood", "give one"}},
		"wood at 2.45 GHz": {[]string{"--freq-mhz", "2450"}, []string{`"Birch"`, "woodland", "frequency: found 2450", "2117.5 MHz"}},
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
		"text":         {`{"sf": "nine"}`, []string{"r.json", "sf", "nine"}},
		"out of range": {`{"sf": 4, "freq_mhz": 5}`, []string{"5 to 12", "100 to 3000"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "r.json", []byte(c.data))
			refused(t, polereach(t, "site", "--pole", "Sorrel Ridge", "--radio", path, demo+"plan.geojson"), c.want...)
		})
	}
}

func zipped(t *testing.T, entry string, data []byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	w, err := z.Create(entry)
	if err == nil {
		_, err = w.Write(data)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestBadTerrainIsRefused(t *testing.T) {
	tile := make([]byte, 1201*1201*2)
	ascii := func(rows string) []byte {
		return []byte("ncols 3\nnrows 2\nxllcorner -84.3\nyllcorner 36.5\ncellsize 0.1\n" + rows)
	}
	for name, c := range map[string]struct {
		file string
		data []byte
		want []string
	}{
		"truncated hgt":          {"N36W085.hgt", tile[:1000], []string{"N36W085.hgt", "1000"}},
		"hgt of a wrong size":    {"N36W085.hgt", append(tile, 0, 0), []string{"N36W085.hgt", fmt.Sprint(len(tile) + 2), fmt.Sprint(len(tile))}},
		"name that says nothing": {"tile.hgt", tile, []string{"tile.hgt"}},
		"zip without a tile":     {"N36W085.hgt.zip", zipped(t, "readme.txt", []byte("x")), []string{"N36W085.hgt.zip"}},
		"zip bomb":               {"N36W085.hgt.zip", zipped(t, "N36W085.hgt", make([]byte, 64<<20)), []string{"N36W085.hgt.zip", fmt.Sprint(64 << 20)}},
		"not a zip":              {"N36W085.hgt.zip", []byte("PK nothing"), []string{"N36W085.hgt.zip"}},
		"too few numbers":        {"a.asc", ascii("1 2 3 4 5"), []string{"a.asc", "5", "6"}},
		"too many numbers":       {"a.asc", ascii("1 2 3 4 5 6 7"), []string{"a.asc", "6"}},
		"not a number":           {"a.asc", ascii("1 2 3 x 5 6"), []string{"a.asc", "x"}},
		"terabytes promised":     {"a.asc", []byte("ncols 2000000\nnrows 2000000\nxllcorner 0\nyllcorner 0\ncellsize 0.00001\n1 2 3"), []string{"a.asc", "2000000"}},
		"foreign file":           {"notes.txt", []byte("hello"), []string{"notes.txt"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, c.file, c.data)
			refused(t, polereach(t, "link", "-84.2,36.55", "-84.15,36.56", "--height-m", "5", "--dem", path), c.want...)
		})
	}
	refused(t, polereach(t, "link", "-84.2,36.55", "-84.1,36.56", "--height-m", "5", "--dem", t.TempDir()), "tile")
	refused(t, polereach(t, "link", "-84.2,36.55", "-84.1,36.56", "--height-m", "5", "--dem", filepath.Join(t.TempDir(), "none")), "none", "no such")
}

// A pole or a path without terrain is computed, and says where: exit 4.
func TestMissingTerrainIsUnknown(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		want []string
	}{
		"pole in a void":      {[]string{"site", "--at", "-84.6,36.6", "--height-m", "5", "--range-km", "40", demo + "plan.geojson"}, []string{"UNKNOWN", "ground unknown: void", "void from 0.00 to"}},
		"pole off the tile":   {[]string{"site", "--at", "-83.9,36.6", "--height-m", "5", demo + "plan.geojson"}, []string{"UNKNOWN", "outside the terrain"}},
		"path leaves terrain": {[]string{"link", "-84.24,36.5565", "-83.9,36.6", "--height-m", "5", "--dem", demo + "dem"}, []string{"UNKNOWN", "void from", "outside the terrain from", "-83.99917"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := polereach(t, c.args...)
			if r.code != exitUnjudged || r.err != "" {
				t.Errorf("exit %d, want 4; stderr %q", r.code, r.err)
			}
			for _, w := range c.want {
				if !strings.Contains(r.out, w) {
					t.Errorf("stdout does not say %q:\n%s", w, r.out)
				}
			}
			if r := polereach(t, append(c.args, "--format", "json")...); r.code != exitUnjudged ||
				strings.Contains(r.out, "NaN") || strings.Contains(r.out, `"loss_db"`) || !strings.Contains(r.out, `"gaps"`) {
				t.Errorf("JSON: exit %d\n%s", r.code, r.out)
			}
		})
	}
}

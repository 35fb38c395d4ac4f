package plan

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/antenna"
)

// Ranges take in every radio and pole of this trade and refuse slips of the
// decimal point and of the unit.
var (
	heightM       = span{0, 300, " m", true}
	txDBm         = span{-30, 40, " dBm", false}
	gainDBi       = span{-20, 30, " dBi", false}
	feedLossDB    = span{0, 40, " dB", false}
	hardwareDB    = span{0, 40, " dB", false}
	noiseFigureDB = span{0, 30, " dB", true}
	noiseRiseDB   = span{0, 60, " dB", false}
	tiltDeg       = span{-45, 45, " deg", false}
	azimuthDeg    = span{0, 360, " deg", false}
	spreading     = span{5, 12, "", false}
	codingRate    = span{5, 8, " (5 is 4/5, 8 is 4/8)", false}
	freqMHz       = span{100, 3000, " MHz", false}

	clutterTopM       = span{0, 100, " m", false}
	woodM             = span{0, 2000, " m", false}
	beamwidthDeg      = span{5, 180, " deg", false}
	coaxM             = span{0, 200, " m", false}
	vswr              = span{1, 10, "", false}
	nearbyOffsetMHz   = span{1, 100, " MHz", false}
	nearbyIsolationDB = span{0, 150, " dB", true}

	coaxWords         = coaxNames()
	mountWords        = []string{"top", "side"}
	noiseWords        = []string{"rural", "suburb", "city"}
	beamWords         = []Beam{Omni, Sector}
	polarisationWords = []string{"vertical", "horizontal"}
	insideWords       = []string{"free", "open", "suburban", "wood", "urban", "dense_urban"}

	// The ten LoRa bandwidths by the label printed in the transceivers' data
	// sheets; exactly they are 500 kHz over 64, 48, 32, 24, 16, 12, 8, 4, 2, 1.
	bandwidthsKHz = []float64{7.8, 10.4, 15.6, 20.8, 31.25, 41.7, 62.5, 125, 250, 500}
)

// item is what one feature stands for.
type item interface {
	keys() []string        // known keys, in the order they are written
	bind(key string) value // the field of a known key, nil for any other
	shape() orb.Geometry
	source() (raw []byte, feature int)
}

var (
	stationKeys = []string{"name", "status", "height_m", "tx_dbm", "gain_dbi", "feed_loss_db", "hardware_db",
		"noise_figure_db", "noise_rise_db", "tilt_deg", "beam", "azimuth_deg", "polarisation", "inside", "clutter_top_m", "wood_m",
		"beamwidth_deg", "coax", "coax_m", "vswr", "mount", "noise", "nearby_tx_dbm", "nearby_offset_mhz", "nearby_isolation_db"}
	linkKeys = []string{"from", "to", "required", "sf", "cr", "bw_khz", "freq_mhz"}
	areaKeys = []string{"name", "status", "height_m"}
)

func (s *Station) keys() []string        { return stationKeys }
func (s *Station) shape() orb.Geometry   { return s.At }
func (s *Station) source() ([]byte, int) { return s.raw, s.Feature }

func (s *Station) bind(key string) value {
	switch key {
	case "name":
		return text{&s.Name}
	case "status":
		return state{&s.Status}
	case "height_m":
		return number{&s.HeightM, heightM}
	case "tx_dbm":
		return number{&s.TxDBm, txDBm}
	case "gain_dbi":
		return number{&s.GainDBi, gainDBi}
	case "feed_loss_db":
		return number{&s.FeedLossDB, feedLossDB}
	case "hardware_db":
		return number{&s.HardwareDB, hardwareDB}
	case "noise_figure_db":
		return number{&s.NoiseFigureDB, noiseFigureDB}
	case "noise_rise_db":
		return number{&s.NoiseRiseDB, noiseRiseDB}
	case "tilt_deg":
		return number{&s.TiltDeg, tiltDeg}
	case "beam":
		return word[Beam]{&s.Beam, beamWords}
	case "azimuth_deg":
		return number{&s.AzimuthDeg, azimuthDeg}
	case "polarisation":
		return word[string]{&s.Polarisation, polarisationWords}
	case "inside":
		return word[string]{&s.Inside, insideWords}
	}
	return s.bindInstallation(key)
}

// bindInstallation binds the keys of what is between and around radio and antenna.
func (s *Station) bindInstallation(key string) value {
	switch key {
	case "clutter_top_m":
		return number{&s.ClutterTopM, clutterTopM}
	case "wood_m":
		return number{&s.WoodM, woodM}
	case "beamwidth_deg":
		return number{&s.BeamwidthDeg, beamwidthDeg}
	case "coax":
		return word[string]{&s.Coax, coaxWords}
	case "coax_m":
		return number{&s.CoaxM, coaxM}
	case "vswr":
		return number{&s.VSWR, vswr}
	case "mount":
		return word[string]{&s.Mount, mountWords}
	case "noise":
		return word[string]{&s.Noise, noiseWords}
	case "nearby_tx_dbm":
		return number{&s.NearbyTxDBm, txDBm}
	case "nearby_offset_mhz":
		return number{&s.NearbyOffsetMHz, nearbyOffsetMHz}
	case "nearby_isolation_db":
		return number{&s.NearbyIsolationDB, nearbyIsolationDB}
	}
	return nil
}

func coaxNames() []string {
	var names []string
	for _, c := range antenna.CoaxClasses() {
		names = append(names, c.Name)
	}
	return names
}

func (l *Link) keys() []string        { return linkKeys }
func (l *Link) shape() orb.Geometry   { return l.Line }
func (l *Link) source() ([]byte, int) { return l.raw, l.Feature }

func (l *Link) bind(key string) value {
	switch key {
	case "from":
		return text{&l.From}
	case "to":
		return text{&l.To}
	case "required":
		return flag{&l.Required}
	case "sf":
		return whole{&l.SF, spreading}
	case "cr":
		return whole{&l.CR, codingRate}
	case "bw_khz":
		return choice{&l.BWKHz, bandwidthsKHz, " kHz"}
	case "freq_mhz":
		return number{&l.FreqMHz, freqMHz}
	}
	return nil
}

func (a *Area) keys() []string        { return areaKeys }
func (a *Area) shape() orb.Geometry   { return a.Polygon }
func (a *Area) source() ([]byte, int) { return a.raw, a.Feature }

func (a *Area) bind(key string) value {
	switch key {
	case "name":
		return text{&a.Name}
	case "status":
		return fixed("searchable")
	case "height_m":
		return number{&a.HeightM, heightM}
	}
	return nil
}

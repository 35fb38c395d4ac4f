package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/radio"
)

// settings writes them as the member "settings".
func (o *object) settings(s plan.Settings) {
	env, st := s.Environment, s.Station
	o.object("settings", func(o *object) {
		o.number("freq_mhz", env.FreqHz/1e6, 6)
		o.value("bw_khz", lora.BandwidthLabelKHz(env.Modem.BWHz))
		o.count("sf", env.Modem.SF)
		o.count("cr", env.Modem.CR+4)
		o.number("tx_dbm", float64(st.TxDBm), 3)
		o.number("gain_dbi", float64(st.Antenna.PeakDBi), 3)
		o.number("feed_loss_db", float64(st.FeedLossDB), 3)
		o.number("hardware_db", float64(st.HardwareDB), 3)
		o.number("noise_figure_db", float64(st.NoiseFigureDB), 3)
		o.number("k", orDefault(env.K, radio.KMedian), 4)
		if env.SurfaceRefractivity != 0 {
			o.number("surface_refractivity", env.SurfaceRefractivity, 1)
		}
		o.number("want_percent", wantPercent(env), 3)
		if env.TimePercent != 0 {
			o.number("time_percent", env.TimePercent, 3)
		}
		o.number("dem_error_m", orDefault(env.Terrain.SigmaM, linkbudget.UnknownTerrainErrorM), 2)
		o.some("inside", insideWord(st))
		o.some("cover", coverWord(s))
		o.text("fading", env.Fading.Kind.String())
		o.count("payload_b", orDefault(env.Packet.PayloadB, linkbudget.DefaultPacket.PayloadB))
		o.text("polarisation", st.Polarisation.String())
		o.calibration(env)
	})
}

// insideWord is what is said to stand around an antenna, "" for nothing.
func insideWord(s linkbudget.Station) string {
	if s.Surroundings.Inside == clutter.Unstated {
		return ""
	}
	return s.Surroundings.Inside.String()
}

func wantPercent(e linkbudget.Environment) float64 {
	return orDefault(e.WantPercent, linkbudget.DefaultWantPercent)
}

// ChannelText is the channel and the modem in one line.
func ChannelText(e linkbudget.Environment) string {
	return fmt.Sprintf("%.6g MHz  SF%d  %.4g kHz  4/%d", e.FreqHz/1e6, e.Modem.SF, e.Modem.BWHz/1e3, e.Modem.CR+4)
}

// TimeText says for what share of time the losses are, "" for the median.
func TimeText(e linkbudget.Environment) string {
	if e.TimePercent == 0 {
		return ""
	}
	return fmt.Sprintf("losses not exceeded for %g %% of an average year", e.TimePercent)
}

// coverWord names what tells of what stands on the ground: rasters and the plan, over a class for all of it.
func coverWord(s plan.Settings) string {
	class := s.Environment.Cover
	switch {
	case class == clutter.Unstated:
		return s.Cover
	case s.Cover == "":
		return class.String()
	}
	return s.Cover + " over " + class.String()
}

// CoverText names what tells of what stands on the ground, and what is not to be believed of rasters, ""
// for none. The figure is that of 30 rural links, see TestMeasuredWithCover.
func CoverText(s plan.Settings) string {
	if s.Cover == "" {
		return ""
	}
	text := "on the ground stands what " + coverWord(s) + " says, its woods passed over or through"
	if s.Cover == plan.OwnCover {
		return text
	}
	return text + ": rural paths were measured to lose about 3 dB less than this, in the mean"
}

// writeConditions writes under which conditions the losses are.
func writeConditions(out io.Writer, s plan.Settings) {
	for _, text := range []string{TimeText(s.Environment), CoverText(s)} {
		if text != "" {
			writeWrapped(out, "  ", text)
		}
	}
}

// StationText is what a station sends with, in one line: power, antenna, what the feeder loses.
func StationText(s linkbudget.Station) string {
	t := fmt.Sprintf("%g dBm  %+g dBi", float64(s.TxDBm), float64(s.Antenna.PeakDBi))
	if s.FeedLossDB != 0 {
		t += fmt.Sprintf("  feeder %g dB", float64(s.FeedLossDB))
	}
	return t
}

func orDefault[T ~float64 | ~int](v, otherwise T) T {
	if v == 0 {
		return otherwise
	}
	return v
}

// mostAssumed is how many stations a line names.
const mostAssumed = 6

// assumedEnds lists stations with what open country costs at each.
func assumedEnds(ends []linkbudget.AssumedEnd) string {
	var parts []string
	for i, end := range ends {
		if i == mostAssumed {
			parts = append(parts, fmt.Sprintf("%d more", len(ends)-i))
			break
		}
		parts = append(parts, fmt.Sprintf("%s (%.1f dB)", end.Station, end.CostDB))
	}
	if last := len(parts) - 1; last > 0 {
		return strings.Join(parts[:last], ", ") + " and " + parts[last]
	}
	return parts[0]
}

// linkAssumed says in one line what is taken for granted around the ends and what
// looking there would win; "" where that is nothing.
func linkAssumed(r *linkbudget.Result) string {
	a := r.Assumed()
	if len(a.Ends) == 0 {
		return ""
	}
	var flags []string
	for _, end := range a.Ends {
		flags = append(flags, "--inside-"+strings.ToLower(end.Station)+" free")
	}
	return fmt.Sprintf("open country around %s; where nothing rises near an antenna say %s: "+
		"up to %.1f dB more margin, and the doubt falls from %.1f to %.1f dB",
		assumedEnds(a.Ends), strings.Join(flags, " and "), a.MoreDB, r.Doubt.SigmaDB, a.SigmaDB)
}

// SiteAssumed says in one line what is taken for granted around a pole and its neighbours and
// what looking there would win on their links; "" where that is nothing.
func SiteAssumed(s *mesh.Site) string {
	if s == nil {
		return ""
	}
	var ends []linkbudget.AssumedEnd
	var more, less linkbudget.DB
	seen := map[string]bool{}
	for i := range s.Links {
		a := s.Links[i].Assumed()
		for _, end := range a.Ends {
			if !seen[end.Station] {
				seen[end.Station], ends = true, append(ends, end)
			}
		}
		more, less = max(more, a.MoreDB), max(less, s.Links[i].Doubt.SigmaDB-a.SigmaDB)
	}
	if len(ends) == 0 {
		return ""
	}
	return fmt.Sprintf("open country around %s; where nothing rises near an antenna say inside \"free\": "+
		"up to %.1f dB more margin on a link, and a doubt smaller by up to %.1f dB",
		assumedEnds(ends), more, less)
}

// assumed is that for the poles and the receiver of a coverage.
func (c *Coverage) assumed() string {
	receiver := c.Receiver
	receiver.Name = "the receiver"
	text := assumedAround(append(append([]linkbudget.Station(nil), c.Poles...), receiver), c.Settings.Environment)
	if text == "" {
		return ""
	}
	return text + ", for the receiver --receiver-inside free"
}

// meshAssumed is that for the poles of a plan.
func meshAssumed(m *mesh.Mesh) string {
	stations := make([]linkbudget.Station, len(m.Stations))
	for v := range m.Stations {
		stations[v] = m.Stations[v].Station
	}
	return assumedAround(stations, m.Options.Settings.Environment)
}

// assumedAround says of which stations nothing is said; "" where that costs nothing.
func assumedAround(stations []linkbudget.Station, env linkbudget.Environment) string {
	var ends []linkbudget.AssumedEnd
	for _, s := range stations {
		if cost := s.AssumedDB(env); cost > 0 {
			ends = append(ends, linkbudget.AssumedEnd{Station: s.Name, CostDB: cost})
		}
	}
	if len(ends) == 0 {
		return ""
	}
	return fmt.Sprintf("open country around %s; where nothing rises near an antenna say inside \"free\"",
		assumedEnds(ends))
}

// assumedNames are the stations of a link of whose surroundings nothing is said.
func assumedNames(r *linkbudget.Result) (names []string) {
	for _, end := range r.Assumed().Ends {
		names = append(names, end.Station)
	}
	return names
}

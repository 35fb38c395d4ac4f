package report

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

type settingsJSON struct {
	FreqMHz       float64 `json:"freq_mhz"`
	BWKHz         float64 `json:"bw_khz"`
	SF            int     `json:"sf"`
	CR            int     `json:"cr"`
	TxDBm         float64 `json:"tx_dbm"`
	GainDBi       float64 `json:"gain_dbi"`
	FeedLossDB    float64 `json:"feed_loss_db"`
	HardwareDB    float64 `json:"hardware_db"`
	NoiseFigureDB float64 `json:"noise_figure_db"`
	K             float64 `json:"k"`
	WantPercent   float64 `json:"want_percent"`
	DEMErrorM     float64 `json:"dem_error_m"`
	Inside        string  `json:"inside,omitempty"`
	Cover         string  `json:"cover,omitempty"`
	Fading        string  `json:"fading"`
	PayloadB      int     `json:"payload_b"`
	Polarisation  string  `json:"polarisation"`
}

func newSettingsJSON(s plan.Settings) settingsJSON {
	env, st := s.Environment, s.Station
	j := settingsJSON{
		FreqMHz: fixed(env.FreqHz/1e6, 6), BWKHz: linkbudget.BandwidthLabelKHz(env.Modem.BWHz), SF: env.Modem.SF, CR: env.Modem.CR + 4,
		TxDBm: dbm(st.TxDBm), GainDBi: db(st.Antenna.PeakDBi), FeedLossDB: db(st.FeedLossDB), HardwareDB: db(st.HardwareDB), NoiseFigureDB: db(st.NoiseFigureDB),
		Inside: insideWord(st), K: fixed(orDefault(env.K, linkbudget.KMedian), 4), Polarisation: st.Polarisation.String(),
		WantPercent: fixed(wantPercent(env), 3), DEMErrorM: fixed(orDefault(env.Terrain.SigmaM, linkbudget.UnknownTerrainErrorM), 2),
		Fading: env.Fading.Kind.String(), PayloadB: orDefault(env.Packet.PayloadB, linkbudget.DefaultPacket.PayloadB),
	}
	if env.Cover != linkbudget.ClutterUnstated {
		j.Cover = env.Cover.String()
	}
	return j
}

// insideWord is what is said to stand around an antenna, "" for nothing.
func insideWord(s linkbudget.Station) string {
	if s.Surroundings.Inside == linkbudget.ClutterUnstated {
		return ""
	}
	return s.Surroundings.Inside.String()
}

func wantPercent(e linkbudget.Environment) float64 {
	return orDefault(e.WantPercent, linkbudget.DefaultWantPercent)
}

// channelText is the channel and the modem in one line.
func channelText(e linkbudget.Environment) string {
	return fmt.Sprintf("%.6g MHz  SF%d  %.4g kHz  4/%d", e.FreqHz/1e6, e.Modem.SF, e.Modem.BWHz/1e3, e.Modem.CR+4)
}

func stationText(s linkbudget.Station) string {
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

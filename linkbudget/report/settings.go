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
	NoiseFigureDB float64 `json:"noise_figure_db"`
	K             float64 `json:"k"`
	SolidMarginDB float64 `json:"solid_margin_db"`
	Polarisation  string  `json:"polarisation"`
}

func newSettingsJSON(s plan.Settings) settingsJSON {
	env, st := s.Environment, s.Station
	return settingsJSON{
		FreqMHz: fixed(env.FreqHz/1e6, 6), BWKHz: fixed(env.Modem.BWHz/1e3, 3), SF: env.Modem.SF, CR: env.Modem.CR + 4,
		TxDBm: dbm(st.TxDBm), GainDBi: db(st.GainDBi), FeedLossDB: db(st.FeedLossDB), NoiseFigureDB: db(st.NoiseFigureDB),
		K: fixed(orDefault(env.K, linkbudget.KMedian), 4), Polarisation: env.Polarisation.String(),
		SolidMarginDB: db(orDefault(env.SolidMarginDB, linkbudget.DefaultSolidMarginDB)),
	}
}

// channelText is the channel and the modem in one line.
func channelText(e linkbudget.Environment) string {
	return fmt.Sprintf("%.6g MHz  SF%d  %.4g kHz  4/%d", e.FreqHz/1e6, e.Modem.SF, e.Modem.BWHz/1e3, e.Modem.CR+4)
}

func stationText(s linkbudget.Station) string {
	t := fmt.Sprintf("%g dBm  %+g dBi", float64(s.TxDBm), float64(s.GainDBi))
	if s.FeedLossDB != 0 {
		t += fmt.Sprintf("  feeder %g dB", float64(s.FeedLossDB))
	}
	return t
}

func orDefault[T ~float64](v, otherwise T) T {
	if v == 0 {
		return otherwise
	}
	return v
}

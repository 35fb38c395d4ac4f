package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// The file and the budget must allow the same: a plan that reads may not be
// refused later, nor a value of the settings be allowed that the file refuses.
func TestRangesAgreeWithTheBudget(t *testing.T) {
	var height, tx, gain, feed, figure, rise float64
	values := map[string]*float64{"height_m": &height, "tx_dbm": &tx, "gain_dbi": &gain, "feed_loss_db": &feed, "noise_figure_db": &figure, "noise_rise_db": &rise}
	spans := map[string]span{"height_m": heightM, "tx_dbm": txDBm, "gain_dbi": gainDBi, "feed_loss_db": feedLossDB, "noise_figure_db": noiseFigureDB, "noise_rise_db": noiseRiseDB}
	for key, s := range spans {
		for _, v := range []float64{s.lo, s.hi, math.Nextafter(s.lo, math.Inf(-1)), math.Nextafter(s.lo, math.Inf(1)), math.Nextafter(s.hi, math.Inf(1))} {
			height, tx, gain, feed, figure, rise = 6, 14, 2, 0, 6, 0
			*values[key] = v
			budget := linkbudget.Station{Name: "Gate", HeightM: height, TxDBm: linkbudget.DBm(tx), GainDBi: linkbudget.DB(gain),
				FeedLossDB: linkbudget.DB(feed), NoiseFigureDB: linkbudget.DB(figure), NoiseRiseDB: linkbudget.DB(rise)}.Validate()
			_, file := Read("", []byte(collection(point("Gate", fmt.Sprintf(`%q:%v`, key, v)))))
			if (budget == nil) != (file == nil) {
				t.Errorf("%s %v: the budget says %v, the file %v", key, v, budget, file)
			}
		}
	}
	for _, label := range bandwidthsKHz {
		if _, err := linkbudget.ParseBandwidthKHz(label); err != nil {
			t.Error(err)
		}
	}
}

// Every known key is bound to a field, and no other is.
func TestKeysAreBound(t *testing.T) {
	for _, it := range []item{&Station{}, &Link{}, &Area{}} {
		for _, key := range it.keys() {
			if it.bind(key) == nil {
				t.Errorf("%T: %s is not bound", it, key)
			}
		}
		if it.bind("Name") != nil || it.bind("") != nil {
			t.Errorf("%T: binds an unknown key", it)
		}
	}
}

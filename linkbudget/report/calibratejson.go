package report

import (
	"fmt"
	"io"
	"strconv"

	"github.com/polereach/polereach/linkbudget/calibrate"
	"github.com/polereach/polereach/terrain/fault"
)

// CalibrateJSON writes the object of the command "calibrate": bias_db, predicted less
// measured loss, and its interval first. The error is that of w.
func CalibrateJSON(w io.Writer, a *calibrate.Answer) (err error) {
	defer fault.Recovered(&err)
	return writeCommand(w, "calibrate", func(o *object) {
		o.interval("bias", a.Bias)
		o.number("spread", a.Spread, 3)
		o.count("rows", a.Rows)
		o.count("used", a.Good)
		o.count("faulty", a.Faulty)
		o.count("more_links_to_halve", a.MoreLinks)
		o.summary("as_stated", a.Before)
		o.summary("from_all_others", a.After)
		o.list("links", len(a.Links), func(i int) { o.heard(&a.Links[i]) })
		o.list("nodes", len(a.Nodes), func(i int) {
			n := &a.Nodes[i]
			o.text("name", n.Name)
			o.count("links", n.Links)
			o.truth("moving", n.Moving)
			o.interval("sends", n.Sends)
			o.interval("hears", n.Hears)
			o.interval("sends_less_hears", n.Difference)
		})
		o.list("kinds", len(a.Kinds), func(i int) {
			o.text("of", a.Kinds[i].Of)
			o.text("kind", a.Kinds[i].Name)
			o.sums(a.Kinds[i].Summary)
		})
		o.list("explains", len(a.Causes), func(i int) {
			o.text("cause", a.Causes[i].Name)
			o.number("share", a.Causes[i].Share, 3)
			o.number("rms_db", a.Causes[i].RMSDB, 2)
			o.some("most", a.Causes[i].Most)
		})
		o.someList("exchanged", len(a.Exchanged), func(i int) {
			o.text("a", a.Exchanged[i].A)
			o.text("b", a.Exchanged[i].B)
		})
		o.some("notes", a.Notes)
		o.some("not_predicted", a.Unpredicted)
		o.someList("faults", len(a.Faults), func(i int) {
			o.text("file", a.Faults[i].File)
			o.count("line", a.Faults[i].Line)
			o.text("what", a.Faults[i].What)
		})
	})
}

func (o *object) interval(name string, i calibrate.Interval) {
	o.number(name+"_db", i.DB, 2)
	o.number(name+"_sigma_db", i.SigmaDB, 2)
	o.number(name+"_low_db", i.Low(), 2)
	o.number(name+"_high_db", i.High(), 2)
}

func (o *object) summary(key string, s calibrate.Summary) {
	o.object(key, func(o *object) { o.sums(s) })
}

func (o *object) sums(s calibrate.Summary) {
	o.count("links", s.Links)
	o.number("bias_db", s.BiasDB, 2)
	o.number("spread_db", s.SpreadDB, 2)
	for i, percent := range [3]int{50, 80, 95} {
		o.number(fmt.Sprintf("inside_%d_percent", percent), 100*s.Inside[i], 1)
	}
}

func (o *object) heard(l *calibrate.Link) {
	o.text("from", l.From)
	o.text("to", l.To)
	if l.Moving {
		o.stands(l.At)
	}
	for _, f := range heardFigures(l) {
		o.numberIf(f.known, f.key, f.value, f.decimals)
	}
	o.truth("supposed", l.Supposed)
	o.truth("outlier", l.Outlier)
	o.text("situation", l.Situation.String())
	o.text("around_from", l.Around[0])
	o.text("around_to", l.Around[1])
}

// heardFigure is a number of the table of heard signals.
type heardFigure struct {
	key      string
	value    float64
	decimals int
	known    bool
}

// heardFigures are the numbers of a link one way; where nothing was heard difference_db is
// the most that it can be, and level_dbm is not known.
func heardFigures(l *calibrate.Link) []heardFigure {
	lost, low, high := l.PacketError()
	told := l.Lost > 0
	return []heardFigure{
		{"distance_m", l.DistM, 1, true}, {"heard", float64(l.Heard), 0, true}, {"lost", float64(l.Lost), 0, true},
		{"packet_error", lost, 4, told}, {"packet_error_low", low, 4, told}, {"packet_error_high", high, 4, told},
		{"level_dbm", l.Measured.DB, 2, l.HasLevel}, {"level_sigma_db", l.Measured.SigmaDB, 2, l.HasLevel},
		{"predicted_dbm", l.PredictedDBm, 2, true}, {"stated_sigma_db", l.StatedDB, 2, true},
		{"difference_db", l.DifferenceDB, 2, true}, {"difference_sigmas", l.Sigmas(), 2, true},
		{"after_db", l.After.DB, 2, true}, {"after_sigma_db", l.After.SigmaDB, 2, true},
	}
}

// HeardCSV writes the table of heard signals, a row per link one way (RFC 4180); unknown
// numbers are empty fields. It can be read as a log: level_dbm, and heard and lost by
// received and sent. The error is that of w.
func HeardCSV(w io.Writer, a *calibrate.Answer) (err error) {
	defer fault.Recovered(&err)
	out := []byte("from,to,lon_deg,lat_deg,received,sent")
	for _, f := range heardFigures(&calibrate.Link{StatedDB: 1}) {
		out = append(append(out, ','), f.key...)
	}
	out = append(out, ",supposed,outlier,situation,around_from,around_to\r\n"...)
	number := func(v float64, decimals int) { out = strconv.AppendFloat(out, fixed(v, decimals), 'f', -1, 64) }
	for i := range a.Links {
		l := &a.Links[i]
		out = append(appendField(out, l.From), ',')
		out = append(appendField(out, l.To), ',')
		if l.Moving {
			number(l.At.Lon(), 7)
		}
		out = append(out, ',')
		if l.Moving {
			number(l.At.Lat(), 7)
		}
		out = fmt.Appendf(out, ",%d,%d", l.Heard, l.Heard+l.Lost)
		for _, f := range heardFigures(l) {
			if out = append(out, ','); f.known {
				number(f.value, f.decimals)
			}
		}
		out = fmt.Appendf(out, ",%t,%t,%s,%s,%s\r\n", l.Supposed, l.Outlier, l.Situation, l.Around[0], l.Around[1])
	}
	_, err = w.Write(out)
	return err
}

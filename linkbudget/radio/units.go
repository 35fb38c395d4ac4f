package radio

import "math"

// DB is a ratio of powers in decibels: a gain, a loss or a margin.
type DB float64

// Ratio returns it as a plain ratio of powers.
func (x DB) Ratio() float64 { return math.Pow(10, float64(x)/10) }

// DBm is a power level in decibels referred to one milliwatt.
type DBm float64

// Add returns the level raised by a gain; a loss is passed with a minus sign.
func (p DBm) Add(g DB) DBm { return p + DBm(g) }

// Sub returns how far p lies above q.
func (p DBm) Sub(q DBm) DB { return DB(p - q) }

// MilliW returns the level as a power in milliwatts.
func (p DBm) MilliW() float64 { return math.Pow(10, float64(p)/10) }

// SumPower adds powers (not decibels): the level of several uncorrelated
// signals or noises together. Without arguments it returns -Inf dBm, no power.
func SumPower(levels ...DBm) DBm {
	var sumMilliW float64
	for _, l := range levels {
		sumMilliW += l.MilliW()
	}
	return DBm(10 * math.Log10(sumMilliW))
}

package power

// The dark spell is seven days at a fifth of the month's mean gain. The need
// for storage it gives, 5.3, 4.9 and 4.2 days of load at 1.2, 1.5 and 2.0 times
// the load, matches the harder of two real winters (Po plain and Amsterdam,
// hourly files, November to February: 5.9, 4.8, 4.2 and 3.6, 2.5, 1.8 days).
// Two typical years are thin evidence: an engineering rule, no law.
const (
	DarkSpellDays  = 7
	DarkSpellShare = 0.2
)

// DarkSpellNeedWh returns the storage in Wh that a dark spell needs, starting
// full: 7 (load - 0.2 gain), at least 0, of a day's load and mean gain in Wh.
func DarkSpellNeedWh(loadWh, gainWh float64) float64 {
	return max(0, DarkSpellDays*(loadWh-DarkSpellShare*gainWh))
}

// DarkSpellOrder returns, for a month of so many days of which only the mean is
// known, the factor of each day on that mean: one dark spell in the middle of
// the month, the other days brighter so that the mean is kept. A month no longer
// than two spells has all days alike. The monthly mean alone would let any cell
// live on any surplus.
func DarkSpellOrder(days int) []float64 {
	factors := make([]float64, max(0, days))
	for i := range factors {
		factors[i] = 1
	}
	if days <= 2*DarkSpellDays {
		return factors
	}
	first := (days - DarkSpellDays) / 2
	bright := (float64(days) - DarkSpellDays*DarkSpellShare) / float64(days-DarkSpellDays)
	for i := range factors {
		factors[i] = bright
		if i >= first && i < first+DarkSpellDays {
			factors[i] = DarkSpellShare
		}
	}
	return factors
}

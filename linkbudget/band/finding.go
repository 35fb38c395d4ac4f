package band

// Topic is what a finding is about.
type Topic string

// The topics.
const (
	TopicPower     Topic = "power"
	TopicGain      Topic = "gain"
	TopicDensity   Topic = "density"
	TopicBandwidth Topic = "bandwidth"
	TopicHopping   Topic = "hopping"
	TopicDwell     Topic = "dwell"
	TopicDuty      Topic = "duty"
	TopicListen    Topic = "listen"
	TopicAccess    Topic = "access"
	TopicEdge      Topic = "band edge"
)

// Status is how a use compares with a row.
type Status string

// Within: not beyond the figure. Exceeds: beyond it. NotJudged: the table has
// words and no figure, or the use does not state what is needed.
const (
	Within    Status = "within"
	Exceeds   Status = "exceeds"
	NotJudged Status = "not judged"
)

// Finding compares one use with one condition of one row.
type Finding struct {
	Key     string // of the row; empty where no row is meant
	Topic   Topic
	Says    string  // what the table says
	Have    float64 // of the use, in Unit
	Allowed float64 // bound of the table, in Unit
	Unit    string  // empty where there are no numbers to compare
	Status  Status

	Source     string
	Clause     string
	Year       int
	Confidence Confidence
	SecondHand string // what was read instead of the source; empty where it was read
}

// slackDB forgives the rounding of the trade: 25 mW is 13.98 dBm and called
// 14 dBm, 4 W is 36.02 dBm and called 36 dBm.
const slackDB = 0.05

// judgeMost compares a value with the most a row allows.
func judgeMost(have, allowed, slack float64) Status {
	if have <= allowed+slack {
		return Within
	}
	return Exceeds
}

// most is the finding of a value with the most a row allows.
func (r Rule) most(t Topic, says string, have, allowed, slack float64, unit string) Finding {
	return r.finding(t, judgeMost(have, allowed, slack), says).numbers(have, allowed, unit)
}

// least is the finding of a value with the least a row asks.
func (r Rule) least(t Topic, says string, have, wanted, slack float64, unit string) Finding {
	return r.finding(t, judgeMost(-have, -wanted, slack), says).numbers(have, wanted, unit)
}

// finding starts a finding with the row's provenance.
func (r Rule) finding(t Topic, status Status, says string) Finding {
	return Finding{Key: r.Key, Topic: t, Says: says, Status: status,
		Source: r.Source, Clause: r.Clause, Year: r.Year, Confidence: r.Confidence, SecondHand: r.SecondHand}
}

// numbers adds what is compared.
func (f Finding) numbers(have, allowed float64, unit string) Finding {
	f.Have, f.Allowed, f.Unit = have, allowed, unit
	return f
}

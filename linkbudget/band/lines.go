package band

import (
	"fmt"
	"strconv"
)

// Lines returns the report as short lines of text: a heading, per row its
// source, clause and year with the findings indented below, what the hour
// leaves, and a reminder to check locally. Where an alternative is kept, its
// findings alone are listed; where none is, what each has against the use.
func (r Report) Lines() []string {
	verdict := r.Verdict()
	heading := map[Status]string{Within: "not beyond the table", Exceeds: "beyond the table",
		NotJudged: "only rows for another kind of device"}[verdict]
	lines := []string{fmt.Sprintf("band %s, %s MHz, %s kHz: %s", r.Band, mhz(r.Use.FreqHz), khz(r.Use.BWHz), heading)}

	for _, f := range r.Edges {
		line := f.String()
		if f.Key != "" {
			line = fmt.Sprintf("%s (%s)", line, f.provenance())
		}
		lines = append(lines, line)
		lines = append(lines, f.secondHand()...)
	}
	best, found := r.Best()
	if verdict == Exceeds {
		said := ""
		for _, row := range r.Rows {
			read := row.Rule.SecondHand
			if read != "" && read == said {
				row.Rule.SecondHand = "as the row above"
			}
			said = read
			lines = append(lines, row.lines(func(f Finding) bool {
				return f.Status == Exceeds || f.Topic == TopicAccess && row.Rule.Class != ""
			})...)
		}
	} else if found {
		lines = append(lines, best.lines(func(Finding) bool { return true })...)
		if r.Use.AirtimeS > 0 {
			lines = append(lines, "  "+best.Rate.text(r.Use.AirtimeS))
		}
		if best.Rule.Note != "" {
			lines = append(lines, "  note: "+best.Rule.Note)
		}
	}
	return append(lines, "What the table says is not the law: check locally.")
}

// lines returns the row's key and provenance, and the wanted findings.
func (r Row) lines(want func(Finding) bool) []string {
	head := r.Rule.finding("", "", "")
	lines := append([]string{fmt.Sprintf("%s (%s)", r.Rule.Key, head.provenance())}, head.secondHand()...)
	for _, f := range r.Findings {
		if want(f) {
			lines = append(lines, "  "+f.String())
		}
	}
	return lines
}

// provenance names the text a finding rests on.
func (f Finding) provenance() string {
	return fmt.Sprintf("%s, %s, %d, confidence %s", f.Source, f.Clause, f.Year, f.Confidence)
}

// secondHand is the line that says so where the text itself was not read.
func (f Finding) secondHand() []string {
	if f.SecondHand == "" {
		return nil
	}
	return []string{"  second-hand: " + f.SecondHand}
}

// String returns one line: topic, the use's figure, what the table says, and
// the status. A level kept only by the rounding of the trade says so.
func (f Finding) String() string {
	line := string(f.Topic)
	if f.Unit != "" {
		line += fmt.Sprintf(" %s %s", figure(f.Have), f.Unit)
	}
	line += fmt.Sprintf(", %s: %s", f.Says, f.Status)
	level := f.Topic == TopicPower || f.Topic == TopicGain || f.Topic == TopicDensity
	if level && f.Status == Within && f.Have > f.Allowed+1e-9 {
		line += " by rounding"
	}
	return line
}

func (r Rate) text(airtimeS float64) string {
	if !r.Limited {
		return fmt.Sprintf("packets of %s: the row bounds no number of them", durationText(airtimeS))
	}
	line := fmt.Sprintf("packets of %s: the row leaves %d an hour", durationText(airtimeS), r.PacketsPerHour)
	if r.SilenceS > 0 {
		line += fmt.Sprintf(", %s of silence after each when evenly spread", durationText(r.SilenceS))
	}
	return line
}

// figure prints a number with two decimals at most and no trailing zeros;
// small ones with three significant digits.
func figure(v float64) string {
	if v != 0 && v > -0.1 && v < 0.1 {
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	return trimmed(v, 2)
}

// khz prints a bandwidth as the trade labels it.
func khz(hz float64) string { return trimmed(hz/1e3, 2) }

func trimmed(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	rounded, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

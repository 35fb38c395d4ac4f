package main

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
)

// keyRow is a key of a plan as plan --keys tells it.
type keyRow struct {
	Of      string   `json:"of"`
	Key     string   `json:"key"`
	Unit    string   `json:"unit,omitempty"`
	Allowed string   `json:"allowed"`
	Words   []string `json:"words,omitempty"`
	Default string   `json:"default"`
	Meaning string   `json:"meaning,omitempty"`
}

// keyGroups are what keys are of, in words.
var keyGroups = map[string]string{"Point": "Point, a station:", "LineString": "LineString, a wanted link:",
	"Polygon": "Polygon, ground where a pole may stand, or on which something stands:",
	"power":   "Point or Polygon, the sun of the node:"}

// keyRows are the keys of the plan, and those of the power survey.
func keyRows() (rows []keyRow) {
	flags := radioFlags()
	for _, k := range plan.Keys() {
		r := keyRow{Of: k.Feature, Key: k.Name, Unit: k.Limits.Unit, Allowed: k.Allowed(), Words: k.Words, Default: k.Default,
			Meaning: k.Doc}
		name := strings.ReplaceAll(k.Name, "_", "-")
		if i := slices.IndexFunc(flags, func(f cli.Flag) bool { return f.Names()[0] == name }); i >= 0 {
			r.Default = "--" + name
			if f, ok := flags[i].(cli.DocGenerationFlag); ok && f.GetDefaultText() != "" && name != "height-m" {
				r.Default += " (" + strings.Trim(f.GetDefaultText(), `"`) + ")"
			}
		}
		rows = append(rows, r)
	}
	for _, k := range power.Keys() {
		rows = append(rows, keyRow{"power", k.Name, k.Limits.Unit, k.Allowed(), k.Words, k.Default, k.Doc})
	}
	return rows
}

// writeKeys answers plan --keys.
func writeKeys(c *cli.Context) error {
	if c.NArg() > 0 {
		return usagef("plan: --keys takes no plan, found %q", c.Args().First())
	}
	if err := formatFault(c.String("format"), textOrJSON); err != nil {
		return err
	}
	return emit(c, asked(c, keysText, keysJSON))
}

func keysJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(keyRows())
}

// keysText writes a key a paragraph, in 80 columns.
func keysText(w io.Writer) error {
	var b strings.Builder
	b.WriteString("Keys of a plan, in the properties of its features. What is absent, null or empty\n" +
		"has the default; where that is a flag, radio.json beside the plan may say it.\n")
	of := ""
	for _, r := range keyRows() {
		if r.Of != of {
			of = r.Of
			fmt.Fprintf(&b, "\n%s\n", keyGroups[of])
		}
		text := r.Allowed
		if r.Meaning != "" && text != "" {
			text += ": "
		}
		text += r.Meaning
		if r.Default != "" {
			text += "; default " + r.Default
		}
		const indent, width = 28, 80
		lead, at := fmt.Sprintf("   %-24s", r.Key), indent-1
		b.WriteString(lead)
		for word := range strings.FieldsSeq(text) {
			if n := len([]rune(word)); at+1+n > width {
				b.WriteString("\n" + strings.Repeat(" ", indent) + word)
				at = indent + n
			} else {
				b.WriteString(" " + word)
				at += 1 + n
			}
		}
		b.WriteByte('\n')
	}
	_, err := io.WriteString(w, b.String())
	return err
}

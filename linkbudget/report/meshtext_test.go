package report_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/report"
)

func TestMeshTextFitsAndSaysTheVerdictFirst(t *testing.T) {
	text := string(written(t, func(b *bytes.Buffer) error { return report.MeshText(b, checked(t, meshPlan, nil)) }))
	for _, line := range strings.Split(text, "\n") {
		if n := utf8.RuneCountInString(line); n > 76 || strings.HasSuffix(line, " ") {
			t.Errorf("%d columns: %q", n, line)
		}
	}
	if !strings.HasPrefix(text, "SHORT") && !strings.HasPrefix(text, "UNKNOWN") {
		t.Errorf("the verdict is not the first word:\n%s", text)
	}
	at := -1
	for _, want := range []string{"Links that reach", "Links that do not reach", "because terrain",
		"Where the mesh is weak", "3 of 6 pairs could not be judged", "Poles without a link that reaches: A pole with a " +
			"very long name indeed",
		"Routes to a gateway", "What proposed poles add", "failure of a standing pole", "Channel load", "Duty limit",
		"Rules of eu868", "Cautions"} {
		next := strings.Index(text, want)
		if next < at || next < 0 {
			t.Errorf("%q at %d, after %d\n%s", want, next, at, text)
		}
		at = next
	}
	plain := string(written(t, func(b *bytes.Buffer) error {
		return report.MeshText(b, checked(t, meshPlan, func(o *mesh.Options) {
			o.Gateways, o.Band, o.PacketsPerHour = nil,
				"", 0
		}))
	}))
	for _, want := range []string{"REACHES", "1 of 1 required links", "all poles in one mesh", "No band chosen",
		"--packets-per-hour"} {
		if !strings.Contains(plain, want) {
			t.Errorf("no %q in\n%s", want, plain)
		}
	}
}

// Proposed poles are told each alone and all together, a route beside the most
// probable way where that is another one.
func TestMeshTextTellsWhatIsTogetherAndWhatIsLikelier(t *testing.T) {
	m := checked(t, meshPlan, nil)
	birch, third := &m.Stations[1], &m.Stations[2]
	birch.Gain = &mesh.Effect{}
	third.Gain = &mesh.Effect{}
	m.Together = &mesh.Effect{CutOff: 1, Vertices: []int{3}, JoinedPairs: 2}
	birch.Likelier = &mesh.Route{Poles: []int{1, 2, 0}, Probability: 0.95, Transmissions: 2}
	birch.Route.Probability = 0.91
	text := strings.Join(strings.Fields(string(written(t, func(b *bytes.Buffer) error { return report.MeshText(b, m) }))),
		" ")
	for _, want := range []string{"All 2 together: 1 pole newly joined to a gateway (Elder); 2 pairs with a first route.",
		`Nothing alone: Birch, "old", A pole`, "2.00 or: A pole with a very long name indeed > Ash"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	v := meshJSON(t, m)
	pole := v["poles"].([]any)[1].(map[string]any)
	if together, _ := v["proposed_together"].(map[string]any); together["joined_pairs"] != 2.0 || pole["likelier"] == nil {
		t.Errorf("together %v, likelier %v", v["proposed_together"], pole["likelier"])
	}
}

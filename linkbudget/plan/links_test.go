package plan

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestLinkFaults(t *testing.T) {
	const ends = `"from":"Old Mill","to":"Fox Hill"`
	for _, c := range []struct{ properties, name, key, problem string }{
		{`{"to":"Fox Hill"}`, "", "from", "missing, allowed the name of a station"},
		{`{"from":"Old Mill"}`, "", "to", "missing, allowed the name of a station"},
		{`{"From":"Old Mill","to":"Fox Hill"}`, "", "From", `found a key that is not read, allowed "from"; rename it, or give "from" beside it`},
		{`{"from":"Old Mil","to":"Fox Hill"}`, "Old Mil - Fox Hill", "from", `found "Old Mil", allowed the name of a station; did you mean "Old Mill"?`},
		{`{"from":"Old Mill","to":"fox hill"}`, "Old Mill - fox hill", "to", `found "fox hill", allowed the name of a station; did you mean "Fox Hill"?`},
		{`{"from":"Old Mill","to":"Observatory"}`, "Old Mill - Observatory", "to", `found "Observatory", allowed the name of a station`},
		{`{"from":"Old Mill","to":"Old Mill"}`, "Old Mill - Old Mill", "to", `found "Old Mill" at both ends, allowed two different stations`},
		{`{"from":"Old Mill","to":7}`, "Old Mill - 7", "to", `found "7", allowed the name of a station`},
		{`{"from":"Old Mill","to":[7]}`, "", "to", "found a list, allowed text of 1 to 100 characters on one line"},
		{`{` + ends + `,"required":"perhaps"}`, "Old Mill - Fox Hill", "required", `found text "perhaps", allowed true or false`},
		{`{` + ends + `,"required":2}`, "Old Mill - Fox Hill", "required", "found 2, allowed true or false"},
		{`{` + ends + `,"sf":"SF13"}`, "Old Mill - Fox Hill", "sf", `found 13, allowed a whole number 5 to 12`},
		{`{` + ends + `,"bw_khz":"125 MHz"}`, "Old Mill - Fox Hill", "bw_khz", `found text "125 MHz", allowed one of the numbers 7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500 kHz; write the number in kHz (kHz)`},
		{`{` + ends + `,"sf":4}`, "Old Mill - Fox Hill", "sf", "found 4, allowed a whole number 5 to 12"},
		{`{` + ends + `,"sf":13}`, "Old Mill - Fox Hill", "sf", "found 13, allowed a whole number 5 to 12"},
		{`{` + ends + `,"sf":7.5}`, "Old Mill - Fox Hill", "sf", "found 7.5, allowed a whole number 5 to 12"},
		{`{` + ends + `,"cr":4}`, "Old Mill - Fox Hill", "cr", "found 4, allowed a whole number 5 to 8 (5 is 4/5, 8 is 4/8)"},
		{`{` + ends + `,"cr":9}`, "Old Mill - Fox Hill", "cr", "found 9, allowed a whole number 5 to 8 (5 is 4/5, 8 is 4/8)"},
		{`{` + ends + `,"bw_khz":100}`, "Old Mill - Fox Hill", "bw_khz", "found 100, allowed one of the numbers 7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500 kHz"},
		{`{` + ends + `,"freq_mhz":99.9}`, "Old Mill - Fox Hill", "freq_mhz", "found 99.9, allowed 100 to 3000 MHz"},
		{`{` + ends + `,"freq_mhz":868100000}`, "Old Mill - Fox Hill", "freq_mhz", "found 868100000, allowed 100 to 3000 MHz"},
		{`{` + ends + `,"name":"the long one","sf":4}`, "the long one", "sf", "found 4, allowed a whole number 5 to 12"},
	} {
		t.Run(c.properties, func(t *testing.T) {
			check(t, collection(line(c.properties), point("Old Mill", ""), point("Fox Hill", "")), 0, c.name, c.key, c.problem)
		})
	}
}

func TestDuplicateLink(t *testing.T) {
	for _, second := range []string{`{"from":"Old Mill","to":"Fox Hill"}`, `{"from":"Fox Hill","to":"Old Mill"}`} {
		list := faultsOf(t, collection(point("Old Mill", ""), point("Fox Hill", ""),
			line(`{"from":"Old Mill","to":"Fox Hill"}`), line(second)))
		if len(list) != 1 || list[0].Feature != 3 || !strings.Contains(list[0].Problem, `a second link between`) ||
			!strings.Contains(list[0].Problem, "feature 2 is the first") {
			t.Errorf("%v", list)
		}
	}
}

func TestLinkValues(t *testing.T) {
	p, err := Read("", []byte(collection(point("Old Mill", ""), point("Fox Hill", ""),
		line(`{"from":"Old Mill","to":"Fox Hill","sf":9.0,"cr":5,"bw_khz":62.5,"freq_mhz":868.1,"required":false}`))))
	if err != nil {
		t.Fatal(err)
	}
	l := p.Links[0]
	if l.From != "Old Mill" || l.To != "Fox Hill" || l.Required || *l.SF != 9 || *l.CR != 5 || *l.BWKHz != 62.5 ||
		*l.FreqMHz != 868.1 ||
		l.Feature != 2 || len(l.Line) != 2 || l.Line[1][1] != 36.6 {
		t.Errorf("%+v", l)
	}
	p, err = Read("", []byte(collection(point("Old Mill", ""), point("Fox Hill", ""),
		line(`{"from":"Old Mill","to":"Fox Hill"}`))))
	if err != nil || !p.Links[0].Required || p.Links[0].SF != nil {
		t.Errorf("defaults: %+v, %v", p, err)
	}
	for _, bw := range strings.Fields("7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500") {
		if _, err := Read("", []byte(collection(point("A", ""), point("B", ""),
			line(`{"from":"A","to":"B","bw_khz":`+bw+`}`)))); err != nil {
			t.Errorf("%s kHz: %v", bw, err)
		}
	}
}

// Thousands of mistyped links over thousands of stations, names of the greatest
// length: without a bound this is 10^12 steps, so a hang fails by its timeout.
func TestManyUnknownEnds(t *testing.T) {
	var features []string
	for i := range 10_000 {
		features = append(features, point(fmt.Sprintf("%0100d", i), ""),
			line(fmt.Sprintf(`{"from":"x%099d","to":"y%099d"}`, i, i)))
	}
	start := time.Now()
	list := faultsOf(t, collection(features...))
	if len(list) != MaxFaults {
		t.Errorf("%d faults, want %d", len(list), MaxFaults)
	}
	t.Logf("%v", time.Since(start))
	if !strings.Contains(list[0].Problem, "did you mean") {
		t.Errorf("the first one has no suggestion: %v", list[0])
	}
}

// What a real slip costs is far below the bound: each of 100 wrong ends that are told, of
// 400 among 200 stations, gets its suggestion.
func TestManySuggestions(t *testing.T) {
	var features []string
	for i := range 200 {
		features = append(features, point(fmt.Sprintf("Ridge pole %03d", i), ""),
			line(fmt.Sprintf(`{"from":"Ridge ploe %03d","to":"ridge pole %03d"}`, i, (i+1)%200)))
	}
	for i, f := range faultsOf(t, collection(features...)) {
		if want := fmt.Sprintf("; did you mean \"Ridge pole %03d\"?", (i/2+i%2)%200); !strings.HasSuffix(f.Problem, want) {
			t.Errorf("%v: want %s", f, want)
		}
	}
}

package main

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
)

// What a wrong value is told with names no type and no function of Go.
var goNames = regexp.MustCompile(`strconv|ParseFloat|ParseInt|parse error|invalid syntax|float64|\bint(64)?\b|bool\b|` +
	`json:|unmarshal|value of type`)

// Every flag of a number of every command refuses what is none, by its name, and says what to
// write.
func TestWrongNumbers(t *testing.T) {
	long(t)
	for command, cmd := range everyCommand() {
		for _, f := range cmd.Flags {
			whole := false
			switch f.(type) {
			case *cli.Float64Flag:
			case *cli.IntFlag:
				whole = true
			default:
				continue
			}
			name := f.Names()[0]
			for text, write := range map[string]string{
				"5,5": "write 5.5", "": "found nothing", "x": `found "x"`, "5furlongs": `found "5furlongs"`, "5 5": `found "5 5"`,
				"SF9": "write 9", "7.": "", "1,500": "write 1.5 or 1500", "--": `found "--"`, "1e": "found",
			} {
				if whole && text == "5,5" {
					write = "want a whole number"
				}
				if whole && text == "1,500" {
					write = "write 1500"
				}
				if text == "7." && !whole {
					continue // Go takes it for 7
				}
				r := polereach(t, append(strings.Fields(command), "--"+name+"="+text)...)
				refused(t, r, name+": found", write)
				if found := goNames.FindString(r.err); found != "" {
					t.Errorf("%s --%s=%s: %s in %s", command, name, text, found, r.err)
				}
			}
		}
	}
}

func TestWhatToWrite(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"link 10,5;50,2 11,5;51,2 --height-m 5", "first end: found \"10,5;50,2\", want LON,LAT in degrees: write 10.5,50.2"},
		{"link 10,5 50,2 11,5 51,2 --height-m 5", "write 10.5,50.2 11.5,51.2"},
		{"link 10,5,50,2 11,51 --height-m 5", "write 10.5,50.2"},
		{"dem get --at 10.5;50.2", "write 10.5,50.2"},
		{"dem get --box 10,5;50,2;11,5;51,2", "write 10.5,50.2,11.5,51.2"},
		{"dem get --box 10,5,50,2,11,5,51,2", "write 10.5,50.2,11.5,51.2"},
		{"link 1,2 1,3 --height-m 5ft", `height-m: found "5ft", want a number in m: write 1.524`}, // 0.3048 m, exact
		{"link 1,2 1,3 --height-m 500cm", "write 5"},
		{"link 1,2 1,3 --height-m 5metres", "write 5"},
		{"link 1,2 1,3 --height-m 1.234,5", "write 1234.5"},
		{"link 1,2 1,3 --height-m 14dBm", `found "14dBm", want a number in m`},
		{"site --range-km 3mi", "write 4.828032"}, // 1609.344 m, exact
		{"site --range-km 3,5km", "write 3.5"},
		{"airtime --tx-dbm 14dBm", "write 14"},
		{"airtime --freq-mhz 868100kHz", "write 868.1"},
		{"airtime --bw-khz 0,125MHz", "write 125\n"},
		{"airtime --cr 4/5", "write 5"},
		{"airtime --sf SF9 --preamble 010", "preamble: found \"010\", want a whole number: write 10"},
		{"airtime --no-crc=maybe", `no-crc: found "maybe", want true or false`},
		{"airtime --sff 9 --tx-dbn 3", "did you mean --sf?"},
		{"airtime --sff 9 --tx-dbn 3", "did you mean --tx-dbm?"},
		{"airtim", `unknown command "airtim"; did you mean airtime?`},
		{"--verson", "did you mean --version?"},
		{"plan --band " + demoPlan, "want one plan file, found 0 arguments; --band took " + demoPlan + " for its value"},
		{"coverage --height-m 3", "want one plan file, or --at LON,LAT, found neither"},
		{"coverage --at -84.24 36.55", `plan: found "36.55" and no such file; a place is one word, LON,LAT`},
		{"site --pole Crow Rock " + demoPlan, `found 2 arguments ["Rock" "` + demoPlan + `"]; what has blanks stands in quotes`},
		{"plan " + filepath.Dir(demoPlan), "want the file: write " + demoPlan},
		{"link Ash Oak " + demoPlan, "polereach site --pole NAME PLAN"},
		{"spots --around 10,50 --reach 10.5,50.2,11.5,51.2", `reach: found "10.5,50.2,11.5,51.2", want LON,LAT in degrees, such`},
		{"spots --around 10,50 --reach=10.5;50.2", `reach: found "10.5", want LON,LAT`},
		{"spots --around 10,50", "no neighbours to reach: give --reach 'LON,LAT ...'"},
		{"help pln", "did you mean plan?"},
		{"dem get --lits", "did you mean --list?; see polereach dem get --help"},
		{"airtime --zzzzzzzzzz", "no flag --zzzzzzzzzz; see"},
	} {
		r := polereach(t, strings.Fields(c.args)...)
		refused(t, r, c.want)
		if found := goNames.FindString(r.err); found != "" {
			t.Errorf("%s: %s in %s", c.args, found, r.err)
		}
	}
	refused(t, polereach(t, "airtime", "--tx-dbm", "5 m"), `tx-dbm: found "5 m", want a number in dBm such as 14`)
	refused(t, polereach(t, "link", "1,2", "1,3", "--height-m", "5 m"), "write 5")
}

// Every word that is wrong, of every flag, is refused or taken without a name of Go.
func TestWrongWordsOfEveryFlag(t *testing.T) {
	long(t)
	for command, cmd := range everyCommand() {
		if strings.HasSuffix(command, " get") || command == "begin" {
			continue // a wrong word there may be a name to go to
		}
		for _, f := range cmd.Flags {
			name := f.Names()[0]
			if name == "out" || name == "plan-out" || name == "help" {
				continue
			}
			for _, text := range []string{"5,5", "x", "", "{", "1/0", "a=b"} {
				args := append(strings.Fields(command), fmt.Sprintf("--%s=%s", name, text))
				if r := polereach(t, args...); goNames.MatchString(r.err) || r.code == exitHolds && command != "airtime" {
					t.Errorf("%q: exit %d, %s", args, r.code, r.err)
				}
			}
		}
	}
}

func TestRadioFileTellsWhatToWrite(t *testing.T) {
	path := write(t, "r.json", []byte(`{"sf": "SF9", "freq_mhz": "868,1", "bare_earth": "x", "cr": [5],
		"tx_dbm": "14dBm"}`))
	r := polereach(t, "site", "--pole", "Sorrel Ridge", "--radio", path, demo+"plan.geojson")
	refused(t, r, "r.json: sf: found \"SF9\", want a whole number: write 9", "write 868.1", "want true or false",
		"cr: found \"[5]\"", "write 14")
	if found := goNames.FindString(strings.ReplaceAll(r.err, path, "")); found != "" {
		t.Errorf("%s in %s", found, r.err)
	}
}

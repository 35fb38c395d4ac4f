package report

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// rankTexts say what comes first.
var rankTexts = map[siting.Rank]string{
	siting.ByMast:        "where the lowest mast would do first",
	siting.ByNeighbours:  "most neighbours first",
	siting.ByProbability: "the surest first",
	siting.BySun:         "most sun in the worst month first",
	siting.ByRoad:        "nearest to a road first",
}

// SpotsText writes the answer for people.
func SpotsText(w io.Writer, s *Spots) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	s.writeVerdict(out)
	fmt.Fprintf(out, "  %d cells searched; %s\n", s.Cells, rankTexts[s.Options.Rank])
	fmt.Fprintf(out, "  mast %g m asked for, up to %g m; %s\n  %s\n", min(s.Options.Candidate.HeightM,
		s.Options.MaxHeightM), s.Options.MaxHeightM, StationText(s.Options.Candidate), ChannelText(s.Settings.Environment))
	writeConditions(out, s.Settings)
	writeCalibration(out, "  ", s.Settings.Environment)
	fmt.Fprintln(out)
	for i := range s.Spots {
		s.writeSpot(out, i)
	}
	if len(s.Spots) == 0 {
		fmt.Fprintf(out, "no spot: no cell of the ground could be judged\n\n")
	}
	s.writeChoices(out)
	if note := s.worstCompass().Note(); note != "" {
		writeWrapped(out, "magnetic: ", note)
	}
	for _, caution := range s.cautions() {
		writeWrapped(out, "caution: ", caution)
	}
	writeEnd(w, out, nil, s.writeVerdict)
	return out.Flush()
}

// writeVerdict tells whether a spot serves, and the first that does.
func (s *Spots) writeVerdict(out io.Writer) {
	serves := func(spot siting.Spot) bool { return spot.Serves }
	if i := slices.IndexFunc(s.Spots, serves); i >= 0 {
		spot := &s.Spots[i]
		writeWrapped(out, "", fmt.Sprintf("SERVES: %s at %.5f,%.5f with a mast of %g m reaches %d of %d neighbours",
			SpotName(i), spot.At[0], spot.At[1], spot.HeightM, spot.Reached, len(spot.Links)))
		return
	}
	text := "NO SPOT SERVES"
	if s.Unjudged+s.Open > 0 {
		text = "UNKNOWN: no spot is known to serve, and terrain is missing"
	}
	writeWrapped(out, "", fmt.Sprintf("%s, masts up to %g m", text, s.Options.MaxHeightM))
}

func (s *Spots) writeSpot(out io.Writer, number int) {
	spot := &s.Spots[number]
	fmt.Fprintf(out, "%s  %.5f,%.5f  ground %.0f m\n", SpotName(number), spot.At[0], spot.At[1], spot.GroundM)
	for _, reason := range spot.Reasons {
		writeWrapped(out, "  - ", reason)
	}
	if spot.RoadM != nil {
		fmt.Fprintf(out, "  road  %s away\n", away(*spot.RoadM))
	}
	if spot.Sky != nil {
		writeSpotSky(out, spot.Sky, s.compass(spot))
	}
	var names []string
	for _, l := range spot.Links {
		names = append(names, l.Name)
	}
	cut := cutNames(names, 18)
	for _, l := range spot.Links {
		name := cut(l.Name)
		if l.Must {
			name += " *"
		}
		if l.Result.Verdict == linkbudget.Unknown {
			fmt.Fprintf(out, "    %s %6.1f km  unknown: terrain is missing on the way\n", pad(name, 20), l.Result.DistM/1000)
			continue
		}
		mast := "no mast is enough"
		if l.LowestM > 0 {
			mast = fmt.Sprintf("from %g m up", l.LowestM)
		}
		fmt.Fprintf(out, "    %s %6.1f km %+6.1f dB %4s %%  %-8s  %s\n", pad(name, 20), l.Result.DistM/1000,
			float64(l.Result.MarginDB), linkbudget.ChanceText(l.Result.Probability, s.WantPercent), l.Result.Verdict, mast)
	}
	fmt.Fprintln(out)
}

func away(distM float64) string {
	if distM >= 1000 {
		return fmt.Sprintf("%.1f km", distM/1000)
	}
	return fmt.Sprintf("%.0f m", distM)
}

// writeSpotSky writes the sun in two or three lines.
func writeSpotSky(out io.Writer, sky *siting.Sky, c magnetic.Compass) {
	share := fmt.Sprintf("%.0f %% of a flat horizon", 100*sky.Share())
	if !(sky.FreeWhM2 > 0) {
		share = "none on a flat horizon either"
	}
	facing := bearingText(sky.Plane.AzimuthDeg, c)
	writeWrapped(out, "  sun   ", fmt.Sprintf("%s, the worst month: %.2f peak sun hours a day, %s (panel %g m up, %g "+
		"deg, facing %s)",
		power.MonthName(int(sky.Month)), sky.SunWhM2/1000, share, sky.PanelUpM, sky.Plane.TiltDeg, facing))
	elev, azimuth := sky.Highest()
	sky2 := fmt.Sprintf("direct sun %.1f h of %.1f h on the shortest day, %s; skyline up to %.1f deg at %s",
		sky.DirectH, sky.DaylightH, sky.Day.Format("2 January"), elev, bearingText(azimuth, c))
	if sky.UnknownShare > 0 {
		sky2 += fmt.Sprintf("; terrain is missing in %.0f %% of the directions and taken to be as high as the highest "+
			"ground known round about", 100*sky.UnknownShare)
	}
	writeWrapped(out, "        ", sky2)
	if sky.Power != nil {
		writeWrapped(out, "        ", "the node "+SunVerdict(sky.Power))
	}
}

func (s *Spots) writeChoices(out io.Writer) {
	if len(s.Choices) == 0 {
		return
	}
	must := ""
	for _, n := range s.Options.Neighbours {
		if n.Must {
			must = " (the musts among them)"
		}
	}
	fmt.Fprintf(out, "mast against neighbours%s: the lowest on this ground\n", must)
	for _, c := range s.Choices {
		where := fmt.Sprintf("%.5f,%.5f", c.At[0], c.At[1])
		if c.Spot >= 0 {
			where = SpotName(c.Spot)
		}
		unsure := ""
		if !c.Sure {
			unsure = "  (not all cells looked at)"
		}
		if c.HeightM == 0 {
			fmt.Fprintf(out, "       -   %2d reached  by no mast up to %g m%s\n", c.Reached, s.Options.MaxHeightM, unsure)
			continue
		}
		fmt.Fprintf(out, "  %5.1f m  %2d reached  %s%s\n", c.HeightM, c.Reached, where, unsure)
	}
	fmt.Fprintln(out)
}

func (s *Spots) cautions() []string {
	out := append([]string{}, s.Warnings...)
	say := func(n int, one, many string) {
		switch {
		case n == 1:
			out = append(out, "1 "+one)
		case n > 1:
			out = append(out, fmt.Sprintf("%d %s", n, many))
		}
	}
	say(s.Left, "cell more might be better and was not computed path by path: raise --most-cells, or search less ground",
		"cells more might be better and were not computed path by path: raise --most-cells, or search less ground")
	say(s.Unjudged, "cell could not be judged: terrain is missing there or on every way",
		"cells could not be judged: terrain is missing there or on every way")
	say(s.Open, "cell does not serve but might if the terrain that is missing on its ways were known",
		"cells do not serve but might if the terrain that is missing on their ways were known")
	say(len(s.Beyond), "neighbour lies out of range and was not looked at", "neighbours lie out of range and were not "+
		"looked at")
	for i := range s.Spots {
		if sky := s.Spots[i].Sky; sky != nil && sky.Assumed {
			out = append(out, "the sun is that of a default climate, nothing measured here: only what the hills take of it "+
				"is of this place")
			break
		} else if sky != nil && sky.Power != nil && sky.Power.Basis != "" {
			out = append(out, "the verdicts on the node are "+sky.Power.Basis)
			break
		}
	}
	var level []string
	for i := range s.Spots {
		if s.Spots[i].Level {
			level = append(level, SpotName(i))
		}
	}
	if len(level) > 0 {
		out = append(out, "the ground is level as water is at "+strings.Join(level, ", ")+": see on a map whether it is land")
	}
	assumed := ""
	if s.Options.Candidate.AssumedDB(s.Settings.Environment) > 0 {
		assumed = ", and open country is assumed around it"
	}
	return append(out, "trees and houses at a spot are not in the terrain"+assumed+": look at it on site before building")
}

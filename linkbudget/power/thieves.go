package power

import (
	"math"
	"slices"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// Thief is a stretch of the skyline that takes sun from the first panel.
type Thief struct {
	FromDeg, ToDeg float64 // clockwise from north, FromDeg to ToDeg
	HighestDeg     float64 // of the skyline there
	DistM          float64 // to what makes it highest, 0 for an obstacle of the user
	Obstacle       bool
	// TakesWhM2 is what the panel gains on the mean day of Month without it,
	// Share that gain over what the panel gets with a free horizon.
	TakesWhM2, Share float64
	Month            int
}

const (
	thiefStepDeg = 15   // directions are taken away by so much at a time
	leastThief   = 0.01 // of the free sun, to be named
	mostThieves  = 4
)

// thieves takes stretches of the skyline away, one after the other, and sees
// what the first panel gains in the month that decides (or the darkest). What
// neighbouring stretches take is told together.
func (s *PoleSurvey) thieves(site sun.Site, w Weather) ([]Thief, error) {
	month := s.Result.Month
	if month == 0 {
		month = s.darkestMonth()
	}
	panel := s.shownPanels()[0]
	onPanel := func(line terrain.Skyline) (float64, error) {
		there := site
		there.Skyline = line
		days, err := w.Daily(there, sun.Panel{TiltDeg: panel.TiltDeg, AzimuthDeg: panel.AzimuthDeg})
		sum, n := 0.0, 0.0
		for i := range days.Days {
			if int(days.Days[i].Month) == month {
				sum += days.Days[i].PlaneWhM2()
				n++
			}
		}
		return sum / max(1, n), err
	}
	with, err := onPanel(s.Skyline)
	if err != nil {
		return nil, err
	}
	free, err := onPanel(terrain.Skyline{})
	if err != nil || !(free > 0) {
		return nil, err
	}
	const sectors = 360 / thiefStepDeg
	var takes [sectors]bool
	for i := range takes {
		without, err := onPanel(lowered(s.Skyline, float64(i*thiefStepDeg), float64((i+1)*thiefStepDeg)))
		if err != nil {
			return nil, err
		}
		takes[i] = (without-with)/free >= leastThief
	}
	var list []Thief
	for _, run := range runsAround(takes[:]) {
		t := Thief{FromDeg: float64(run[0] * thiefStepDeg), ToDeg: float64(run[1] * thiefStepDeg), Month: month}
		without, err := onPanel(lowered(s.Skyline, t.FromDeg, t.ToDeg))
		if err != nil {
			return nil, err
		}
		t.TakesWhM2, t.Share = without-with, (without-with)/free
		t.highest(s.Skyline)
		t.ToDeg = math.Mod(t.ToDeg, 360)
		list = append(list, t)
	}
	slices.SortStableFunc(list, func(a, b Thief) int {
		if a.Share > b.Share {
			return -1
		}
		return 1
	})
	return list[:min(len(list), mostThieves)], nil
}

// darkestMonth is the month with the least sun on the first panel.
func (s *PoleSurvey) darkestMonth() int {
	best := 0
	for i, m := range s.Panels[0].Months {
		if m.PlaneWhM2 < s.Panels[0].Months[best].PlaneWhM2 {
			best = i
		}
	}
	return best + 1
}

// within tells whether an azimuth lies from fromDeg clockwise before toDeg.
func within(azimuthDeg, fromDeg, toDeg float64) bool {
	return math.Mod(azimuthDeg-fromDeg+720, 360) < toDeg-fromDeg
}

// lowered is the skyline with a stretch taken down to the level.
func lowered(line terrain.Skyline, fromDeg, toDeg float64) terrain.Skyline {
	line.Directions = slices.Clone(line.Directions)
	for i := range line.Directions {
		if d := &line.Directions[i]; within(line.StepDeg*float64(i), fromDeg, toDeg) {
			d.ElevDeg, d.MostDeg = min(0, d.ElevDeg), min(0, d.MostDeg)
		}
	}
	return line
}

// runsAround returns the stretches of true on a ring as start and end, the end
// behind the start even across index 0.
func runsAround(ring []bool) [][2]int {
	n := len(ring)
	start := slices.Index(ring, false)
	if start < 0 {
		return [][2]int{{0, n}}
	}
	var runs [][2]int
	for k := 1; k <= n; k++ {
		i := start + k
		if !ring[i%n] {
			continue
		}
		if last := len(runs) - 1; last >= 0 && runs[last][1] == i {
			runs[last][1] = i + 1
			continue
		}
		runs = append(runs, [2]int{i, i + 1})
	}
	for j := range runs {
		if runs[j][0] >= n {
			runs[j][0], runs[j][1] = runs[j][0]-n, runs[j][1]-n
		}
	}
	return runs
}

// highest fills in what stands highest in the stretch.
func (t *Thief) highest(line terrain.Skyline) {
	t.HighestDeg = -90
	for i, d := range line.Directions {
		if within(line.StepDeg*float64(i), t.FromDeg, t.ToDeg) && d.ElevDeg > t.HighestDeg {
			t.HighestDeg, t.DistM, t.Obstacle = d.ElevDeg, d.DistM, d.Obstacle
		}
	}
}

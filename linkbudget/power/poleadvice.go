package power

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// advise asks for what would do, other spots included.
func (s *PoleSurvey) advise(ctx context.Context, dem terrain.DEM, site sun.Site, weather Weather, groundM,
	heightM float64, opt PoleOptions) error {
	if s.Result.Verdict != Thin && s.Result.Verdict != Dies {
		return nil
	}
	site.Worst = true // as high as missing ground allows: advice must hold
	e, err := ExposureOf(site, weather.hardest(), groundM)
	if err != nil {
		return err
	}
	advice := AdviceOptions{EquatorAzimuthDeg: equatorDeg(site.At.Lat())}
	if opt.SearchM > 0 && s.Result.Heat.Verdict != s.Result.Verdict {
		if advice.Spots, err = spots(ctx, dem, site.At, heightM, groundM, opt); err != nil {
			return err
		}
	}
	s.Counsel, err = Advise(s.System, e, s.Result, advice)
	return err
}

// spots are places on two rings about the pole, the nearer first. Obstacles of
// the user stay behind.
func spots(ctx context.Context, dem terrain.DEM, at orb.Point, heightM, groundM float64,
	opt PoleOptions) ([]Spot, error) {
	names := strings.Fields("north north-east east south-east south south-west west north-west")
	var list []Spot
	look := opt.Horizon
	look.Obstacles = nil // what the user saw stands here, not there
	for _, distM := range []float64{opt.SearchM / 3, opt.SearchM} {
		for i, name := range names {
			there := terrain.Destination(at, float64(i)*45, distM)
			var h [1]float64
			var flag [1]terrain.Flag
			if err := terrain.HeightsOf(dem, []orb.Point{there}, h[:], flag[:]); err != nil || !flag[0].Known() {
				continue
			}
			skyline, err := terrain.Horizon(ctx, dem, there, heightM, look)
			if err != nil {
				return nil, err
			}
			e, err := ExposureOf(sun.Site{At: there, Skyline: skyline, Worst: true}, opt.Weather(h[0]).hardest(), h[0])
			if err != nil {
				return nil, err
			}
			higher := h[0] - groundM
			word := "higher"
			if higher < 0 {
				word = "lower"
			}
			list = append(list, Spot{fmt.Sprintf("%.0f m %s, %.0f m %s (%.5f, %.5f)", distM, name, math.Abs(higher), word,
				there.Lon(), there.Lat()), e})
		}
	}
	return list, nil
}

//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"

	binding "github.com/lukeroth/gdal"
)

// transformer takes places on WGS 84 into one coordinate system and back. It is safe for concurrent
// use: a PROJ pipeline serves one goroutine at a time, so a few of them are kept.
type transformer struct {
	crs crs
	to  *pipelines // from longitude, latitude to x, y of the system
	fro *pipelines
}

// pipelines are idle transformations in one direction. It is apart from the
// transformer so that the clean-up of that one can refer to it.
type pipelines struct {
	from, to string // WKT
	mu       sync.Mutex
	idle     []binding.CoordinateTransform
}

// maxIdle bounds the transformations kept in one direction.
const maxIdle = 8

const wgs84 = "EPSG:4326"

// transformer returns the one for a coordinate system, made once per cache.
func (c *Cache) transformer(system crs) (*transformer, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if t := c.systems[system.wkt]; t != nil {
		return t, nil
	}
	geo, err := readCRS(wgs84)
	if err != nil {
		return nil, fmt.Errorf("PROJ does not know WGS 84, is its data base installed? %w", err)
	}
	t := &transformer{crs: system,
		to:  &pipelines{from: geo.wkt, to: system.wkt},
		fro: &pipelines{from: system.wkt, to: geo.wkt},
	}
	for _, p := range []*pipelines{t.to, t.fro} {
		ct, err := p.take()
		if err != nil {
			return nil, err
		}
		p.put(ct)
		runtime.AddCleanup(t, (*pipelines).destroy, p)
	}
	c.systems[system.wkt] = t
	return t, nil
}

func (p *pipelines) take() (binding.CoordinateTransform, error) {
	p.mu.Lock()
	if n := len(p.idle); n > 0 {
		ct := p.idle[n-1]
		p.idle = p.idle[:n-1]
		p.mu.Unlock()
		return ct, nil
	}
	p.mu.Unlock()
	var ct binding.CoordinateTransform
	err := call(false, func() {
		from, to := binding.CreateSpatialReference(p.from), binding.CreateSpatialReference(p.to)
		defer from.Destroy()
		defer to.Destroy()
		// Longitude before latitude and east before north, whatever the order
		// of the registry: geotransforms are always told so.
		from.SetAxisMappingStrategy(binding.OAMS_TraditionalGisOrder)
		to.SetAxisMappingStrategy(binding.OAMS_TraditionalGisOrder)
		ct = binding.CreateCoordinateTransform(from, to)
	})
	if ct == (binding.CoordinateTransform{}) {
		if err == nil {
			err = errors.New("PROJ knows no way")
		}
		return ct, fmt.Errorf("no transformation between WGS 84 and its coordinate system: %w", err)
	}
	return ct, nil
}

func (p *pipelines) put(ct binding.CoordinateTransform) {
	p.mu.Lock()
	keep := len(p.idle) < maxIdle
	if keep {
		p.idle = append(p.idle, ct)
	}
	p.mu.Unlock()
	if !keep {
		_ = call(false, ct.Destroy)
	}
}

func (p *pipelines) destroy() {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, ct := range p.idle {
		_ = call(false, ct.Destroy)
	}
	p.idle = nil
}

// apply transforms x, y in place; what has no image becomes NaN. The three
// slices are as long as each other, z is scratch.
func (p *pipelines) apply(x, y, z []float64) error {
	if len(x) == 0 {
		return nil
	}
	ct, err := p.take()
	if err != nil {
		return err
	}
	clear(z)
	ok := true
	text := call(false, func() { ok = ct.Transform(len(x), x, y, z) })
	p.put(ct)
	lost := 0
	for i := range x {
		if !finite(x[i]) || !finite(y[i]) {
			x[i], y[i] = math.NaN(), math.NaN()
			lost++
		}
	}
	// A failure that marks no place as lost is one of the whole.
	if !ok && lost == 0 {
		if text == nil {
			text = errors.New("PROJ gives no reason")
		}
		return fmt.Errorf("transforming %d places to its coordinate system: %w", len(x), text)
	}
	return nil
}

func finite(v float64) bool { return v-v == 0 }

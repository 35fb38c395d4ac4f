package mesh_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

func TestFiftyFaultsAreListed(t *testing.T) {
	p := hills(52, 0)
	wood := "wood"
	for i := range p.Stations {
		p.Stations[i].Inside = &wood // each contradicts the cover of the settings
	}
	opt := regionOptions(8e3)
	opt.Settings.Environment.Cover, opt.Settings.Environment.BareEarth = clutter.Suburban, true
	_, err := mesh.Check(context.Background(), p, rolling{}, opt)
	for i := range p.Stations {
		if want := fmt.Sprintf("station %q: clutter twice", p.Stations[i].Name); err == nil ||
			strings.Count(err.Error(), want) != 1 {
			t.Fatalf("station %d is not told once:\n%v", i, err)
		}
	}
	if _, err := mesh.Check(context.Background(), &plan.Plan{}, rolling{},
		mesh.Options{SiteOptions: mesh.SiteOptions{Settings: settings()}}); err == nil {
		t.Error("an empty plan was checked")
	}
	opt = regionOptions(-1)
	opt.Settings.Station.HeightM = 0
	opt.Gateways, opt.PacketsPerHour, opt.Shard = []string{"pole 1", "pol 2", "pole 1"}, -4, 3
	_, err = mesh.Check(context.Background(), p, rolling{}, opt)
	for _, want := range []string{"range_m: found -1", "packets_per_hour: found -4", `no station "pol 2"`,
		`"pole 1" given twice`} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not among:\n%v", want, err)
		}
	}
	if n := strings.Count(fmt.Sprint(err), "height_m: missing"); n != 52 {
		t.Errorf("%d of 52 missing heights told", n)
	}
	p = hills(52, 0)
	for i := range 50 { // unknown names, itself, twice
		p.Links = append(p.Links, plan.Link{From: "pole 1", To: fmt.Sprint("pole ", 100+i), Feature: 60 + i})
	}
	_, err = mesh.Check(context.Background(), p, rolling{}, regionOptions(8e3))
	if n := strings.Count(fmt.Sprint(err), "allowed the name of a station"); n != 50 {
		t.Errorf("%d of 50 links told:\n%v", n, err)
	}
}

package linkbudget

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Environment is what both ends of a path share: the channel, the modem, the
// air between them, and how sure the answer must be.
type Environment struct {
	// FreqHz is the carrier frequency; 100 MHz to 3 GHz.
	FreqHz float64
	// Modem holds spreading factor, bandwidth and coding rate.
	Modem Modem
	// K is the effective earth radius factor of the verdict, 0.5 to 10; 0 means 4/3.
	K float64
	// PessimisticK is the factor at which the path is computed again; 0 means
	// 2/3 on paths over 20 km and 1 below.
	PessimisticK float64
	// SurfaceRefractivity is N0 at sea level, N-units, 250 to 450; 0 means that of the
	// latitude, see [radio.SurfaceRefractivity]. Only troposcatter uses it.
	SurfaceRefractivity float64
	// TimePercent is the share of time for which the loss is not exceeded, 1 to 99.9; 0
	// means 50, the median. Below 50 it tells what else is heard. The change is counted from the
	// median of the method that has it; see package timepercent.
	TimePercent float64
	// WantPercent is the probability from which a link is said to reach, 50 to
	// 99.9; 0 means 90.
	WantPercent float64
	// Terrain is the error of the terrain model; a zero SigmaM means
	// UnknownTerrainErrorM, a zero CorrelationM DefaultTerrainCorrelationM.
	Terrain diffraction.TerrainError
	// BareEarth says that the heights are those of the ground; otherwise they
	// count as a surface model, which holds canopy and roofs.
	BareEarth bool
	// Cover is what stands along the whole path, added to the profile with its
	// representative height but for 50 m at both ends (ITU-R P.1812-6 table 2,
	// P.452-18). It needs BareEarth, and ends that stand in no clutter of their
	// own: each would count the same clutter twice. Of what it adds and of open country
	// at the ends only the larger counts.
	Cover clutter.Class
	// TownPercent says that ends of which nothing is said, below the roofs (10 m),
	// stand in a town: each then has the statistical clutter loss of ITU-R P.2108-1
	// §3.2 for this share of locations, 1 to 99, instead of open country's; 0: none.
	// Above the roofs it falls to nothing at 10 m over them.
	// At 50 the loss is the median and its spread is a doubt; any other share has the
	// spread in the loss, and the doubt no more of it.
	TownPercent float64
	// Calibration is laid over every path, nil for none; see [Calibration.Prepare].
	Calibration *Calibration `json:",omitempty"`
	// Fading is the small-scale fading for which delivery is told.
	Fading fading.Law
	// Packet and Family are the packet for which delivery is told; a zero
	// Packet means DefaultPacket.
	Packet Packet
	Family lora.Family
}

// Defaults of an Environment.
const (
	DefaultWantPercent = 90
	// DefaultTerrainCorrelationM lies in the range of 100 m to some km over
	// which errors of terrain models go together; engineering judgement.
	DefaultTerrainCorrelationM = 1500
)

// DefaultPacket is a short message with the preamble of LoRaWAN.
var DefaultPacket = Packet{PayloadB: 24, PreambleSymbols: 8}

// Validate lists every field out of its range, with the range.
func (e Environment) Validate() error {
	var errs []error
	check := func(key string, v, low, high float64, unit string) {
		errs = append(errs, fault.Range(key, v, low, high, unit))
	}
	optional := func(key string, v, low, high float64, unit string) {
		if v != 0 {
			check(key, v, low, high, unit)
		}
	}
	check("freq_mhz", e.FreqHz/1e6, radio.MinFreqHz/1e6, radio.MaxFreqHz/1e6, "MHz")
	optional("k", e.K, 0.5, 10, "")
	optional("pessimistic_k", e.PessimisticK, 0.5, 10, "")
	optional("surface_refractivity", e.SurfaceRefractivity, 250, 450, "N-units")
	optional("time_percent", e.TimePercent, 1, 99.9, "%")
	optional("want_percent", e.WantPercent, 50, 99.9, "%")
	check("dem_error_m", e.Terrain.SigmaM, 0, 50, "m")
	optional("dem_correlation_m", e.Terrain.CorrelationM, 10, 100e3, "m")
	optional("town_percent", e.TownPercent, 1, 99, "%")
	if e.Cover > clutter.Open && !e.BareEarth {
		errs = append(errs, fault.Input("cover: %s on a surface model counts canopy and roofs twice; the terrain must be "+
			"bare earth", e.Cover))
	}
	if e.Cover > clutter.Open && e.TownPercent != 0 {
		errs = append(errs, fault.Input("clutter twice: cover on the profile and town_percent at the ends; give one"))
	}
	if e.TownPercent != 0 && e.FreqHz < 500e6 {
		errs = append(errs, fault.Input("town_percent: at %g MHz, allowed from 500 MHz (ITU-R P.2108-1 §3.2)", e.FreqHz/1e6))
	}
	if e.Cover > clutter.DenseUrban {
		errs = append(errs, fault.Found("cover", uint8(e.Cover), "a class of clutter"))
	}
	if e.Family > lora.FamilySX127x {
		errs = append(errs, fault.Found("family", uint8(e.Family), "SX126x, SX127x"))
	}
	if c := e.Calibration; c != nil && !c.prepared {
		errs = append(errs, c.Validate())
	}
	errs = append(errs, e.Modem.Validate(), e.Fading.Validate())
	if e.Packet != (Packet{}) {
		errs = append(errs, e.Packet.Validate())
	}
	return errors.Join(errs...)
}

// OfMedian is the fault of a share of time where all that is computed is the median; why ends
// the sentence.
func (e Environment) OfMedian(why string) error {
	if e.TimePercent == 0 || e.TimePercent == 50 {
		return nil
	}
	return fault.Found("time_percent", e.TimePercent, "50, the median: "+why)
}

// notBelowMedian is the fault of less than half of the time over an area.
func (e Environment) notBelowMedian() error {
	if !(e.TimePercent > 0 && e.TimePercent < 50) {
		return nil
	}
	return fault.Found("time_percent", e.TimePercent, "50 to 99.9 over an area: what is heard in less of the time "+
		"depends on the whole path; check single links")
}

// Contradictions lists what stations, each valid, and the environment together may
// not say.
func (e Environment) Contradictions(ends ...Station) error {
	var errs []error
	for _, s := range ends {
		if s.Surroundings.built() && e.Cover > clutter.Open {
			errs = append(errs, fault.Input("station %q: clutter twice: it stands inside clutter, and cover %s lies on the "+
				"profile; give one", s.Name, e.Cover))
		}
		if w := (clutter.Woodland{DepthM: s.Surroundings.WoodM, FreqHz: e.FreqHz}); s.Surroundings.WoodM > 0 {
			if err := w.Validate(); err != nil {
				errs = append(errs, fmt.Errorf("station %q: %w", s.Name, err))
			}
		}
	}
	return errors.Join(errs...)
}

// withDefaults replaces each zero that stands for a default.
func (e Environment) withDefaults(distM float64) Environment {
	set := func(v *float64, otherwise float64) {
		if *v == 0 {
			*v = otherwise
		}
	}
	pessimistic := float64(radio.KConservative)
	if distM > subRefractionFromM {
		pessimistic = radio.KSubRefraction
	}
	set(&e.K, radio.KMedian)
	set(&e.PessimisticK, pessimistic)
	set(&e.WantPercent, DefaultWantPercent)
	set(&e.Terrain.SigmaM, UnknownTerrainErrorM)
	set(&e.Terrain.CorrelationM, DefaultTerrainCorrelationM)
	if e.Packet == (Packet{}) {
		e.Packet = DefaultPacket
	}
	return e
}

// subRefractionFromM is the path length from which k = 2/3 is the pessimistic
// case; on shorter paths a layer that bends rays upwards all the way is rare.
// Engineering judgement.
const subRefractionFromM = 20e3

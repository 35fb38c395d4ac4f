package power

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/terrain/fault"
)

// System is what hangs on the pole: panels, charger, cells, load, box, fan.
type System struct {
	Panels  []Panel // 1 to 8, in parallel, each behind its own diode
	Charger Charger
	Bank    Bank
	Load    Load
	Box     *Box // nil: the heat is not judged
	Fan     *Fan // nil: none
}

const maxPanels = 8

// Validate returns every fault at once, or nil.
func (s System) Validate() error {
	errs := []error{countFault("panels", len(s.Panels), 1, maxPanels), s.Charger.Validate(), s.Bank.Validate(),
		s.Load.Validate()}
	for i, p := range s.Panels {
		if err := p.Validate(); err != nil {
			errs = append(errs, fmt.Errorf("panel %d: %w", i+1, errors.Unwrap(err)))
		}
	}
	if s.Box != nil {
		errs = append(errs, s.Box.Validate())
	}
	if s.Fan != nil {
		errs = append(errs, s.Fan.Validate())
		if s.Box == nil {
			errs = append(errs, fault.Input("fan: found one without a box, want the box it blows through"))
		}
	}
	return errors.Join(errs...)
}

// clone is a copy that shares nothing, so that advice can change it.
func (s System) clone() System {
	s.Panels = append([]Panel(nil), s.Panels...)
	s.Box, s.Fan = copied(s.Box), copied(s.Fan)
	return s
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

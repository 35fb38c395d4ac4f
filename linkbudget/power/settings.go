package power

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/polereach/polereach/terrain/fault"
)

// SettingError is one fault of a property, in the words of plan.FieldError.
type SettingError struct {
	Key     string
	Problem string // what was found and what is allowed
}

// Error returns "panel_w: found -3, allowed 0.01 to 500 W".
func (e *SettingError) Error() string { return e.Key + ": " + e.Problem }

// Is makes it a [fault.ErrInput].
func (e *SettingError) Is(target error) bool { return target == fault.ErrInput }

// Getter returns the JSON text of a property, such as plan.Station's Property.
type Getter func(key string) (json.RawMessage, bool)

// FromMap is a Getter over properties at hand. A null counts as absent.
func FromMap(m map[string]json.RawMessage) Getter {
	return func(key string) (json.RawMessage, bool) {
		raw, ok := m[key]
		return raw, ok && string(raw) != "null"
	}
}

// SettingDefaults stand in for what the properties leave out.
type SettingDefaults struct {
	// LatDeg turns a panel that states no azimuth towards the equator, and tilts
	// one that states no tilt by DefaultTiltDeg.
	LatDeg float64
	// AirtimeS of a packet, as the radio settings give it.
	AirtimeS float64
	// TxCurrentA of the radio at its power, 0 where not known: DefaultTxA.
	TxCurrentA float64
}

// Values of a node that usually are not stated.
const (
	DefaultTiltDeg = 60.0
	DefaultTxA     = 0.118   // SX1262 at 22 dBm, 868/915 MHz, datasheet table 3-6
	DefaultRxA     = 0.0053  // SX1262 receiving, boosted, table 3-5
	DefaultSleepA  = 0.6e-6  // SX1262 asleep, warm start
	DefaultHostA   = 0.006   // small host and board around the radio: 7 to 12 mA at the cell with the radio (practice)
	DefaultStandA  = 0.00008 // charger with input 55 uA, divider 21 uA
	DefaultOwnPerH = 12.0
	DefaultSupplyV = 3.3
)

// maxSettingPanels is how many panels have keys: panel_*, panel2_* to panel4_*.
const maxSettingPanels = 4

func panelPrefix(i int) string {
	if i == 0 {
		return "panel_"
	}
	return fmt.Sprintf("panel%d_", i+1)
}

// Stated says which parts of a system the properties mention.
type Stated struct{ Panel, Cell, Load, Box, Fan bool }

// Enough is whether there is anything to survey: panel and cell.
func (s Stated) Enough() bool { return s.Panel && s.Cell }

// Settings reads a System from properties, by [Keys]. All faults come joined, each a *SettingError. What is
// left out takes its
// default, and Stated tells what the properties do mention: without a panel or a cell the System is
// not valid.
func Settings(get Getter, d SettingDefaults) (System, Stated, error) {
	if get == nil {
		get = FromMap(nil)
	}
	if err := errors.Join(rangeFault("latitude", d.LatDeg, -90, 90), rangeFault("airtime in s", d.AirtimeS, 0, 3600),
		rangeFault("current while sending in A", d.TxCurrentA, 0, 10)); err != nil {
		return System{}, Stated{}, err
	}
	r := &settingReader{get: get}
	var s System
	var stated Stated
	s.Panels, stated.Panel = r.panels(d)
	s.Charger = r.charger()
	s.Bank, stated.Cell = r.bank()
	s.Load, stated.Load = r.load(d)
	s.Box, stated.Box = r.box()
	s.Fan, stated.Fan = r.fan(s.Box)
	return s, stated, errors.Join(r.errs...)
}

// settingReader collects the faults.
type settingReader struct {
	get  Getter
	errs []error
	seen int // keys found, to tell whether a group was mentioned
}

func (r *settingReader) fault(key, format string, args ...any) {
	r.errs = append(r.errs, &SettingError{key, fmt.Sprintf(format, args...)})
}

// shown bounds what a message repeats of the file.
func shown(raw json.RawMessage) string {
	if text := []rune(string(raw)); len(text) > 60 {
		return string(text[:60]) + "…"
	}
	return string(raw)
}

// read decodes a property, and counts it; false where it is absent. ok tells whether it
// is of the wanted kind.
func (r *settingReader) read(key string, into any) (raw json.RawMessage, found, ok bool) {
	if raw, found = r.get(key); !found {
		return nil, false, false
	}
	r.seen++
	return raw, true, json.Unmarshal(raw, into) == nil && string(raw) != "null"
}

// number reads a number within the limits of its key; its default where it is not given.
func (r *settingReader) number(key string) float64 { return r.numberOr(key, settingKey[key].value) }

// numberOr is number with a default that depends on others.
func (r *settingReader) numberOr(key string, otherwise float64) float64 {
	var v float64
	raw, found, ok := r.read(key, &v)
	k := settingKey[key]
	switch {
	case !found:
		return otherwise
	case k.Whole && (!ok || v != math.Trunc(v) || !k.Limits.Hold(v)), ok && !k.Limits.Hold(v):
		r.fault(key, "found %s, allowed %s", shown(raw), k.Allowed())
	case !ok:
		r.fault(key, "found %s, allowed a number %s", shown(raw), k.Allowed())
	default:
		return v
	}
	return otherwise
}

// word reads one of a few words and returns its index.
func (r *settingReader) word(key string) int {
	var v string
	raw, found, ok := r.read(key, &v)
	k := settingKey[key]
	if !found {
		return int(k.value)
	}
	if i := slices.Index(k.Words, v); ok && i >= 0 {
		return i
	}
	r.fault(key, "found %s, allowed %s", shown(raw), k.Allowed())
	return int(k.value)
}

func (r *settingReader) has(key string) bool {
	_, ok := r.get(key)
	return ok
}

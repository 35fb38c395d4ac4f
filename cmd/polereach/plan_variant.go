package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// variant is the plan with something changed.
type variant struct {
	title    string
	p        *plan.Plan
	gateways []string
}

// compare runs the plan and its variants, or an older plan and this one, and
// writes what differs.
func (j *planJob) compare() error {
	var variants []variant
	var faults []error
	for _, text := range texts(j.c, "what-if") {
		v, err := j.whatIf(text)
		variants, faults = append(variants, v), append(faults, err)
	}
	for _, name := range texts(j.c, "without") {
		v, err := j.without(name)
		variants, faults = append(variants, v), append(faults, err)
	}
	if err := errors.Join(faults...); err != nil {
		return usage(err)
	}
	changedFrom := j.c.String("changed-from")
	older, checkOlder, err := readOlder(changedFrom)
	if err != nil {
		return err
	}
	for _, v := range variants {
		faults = append(faults, v.p.OutsideBand(j.opt.Band))
	}
	if checkOlder != nil {
		faults = append(faults, checkOlder.OutsideBand(j.opt.Band))
	}
	if err := errors.Join(faults...); err != nil {
		return usage(err)
	}
	checked, err := j.check(j.p, j.opt, nil)
	if err != nil {
		return err
	}
	now := report.NewMeshState(checked)
	var differences []report.MeshDifference
	var exits []error
	if changedFrom != "" {
		if checkOlder != nil {
			old := *j
			old.path = changedFrom
			opt := j.opt // with the gateways that it has
			opt.Gateways = slices.DeleteFunc(slices.Clone(opt.Gateways), func(name string) bool {
				_, there := checkOlder.Station(name)
				return !there
			})
			before, err := old.check(checkOlder, opt, checked)
			if err != nil {
				return err
			}
			older = report.NewMeshState(before)
		}
		differences = append(differences, report.CompareMeshes("Changed from "+filepath.Base(changedFrom), older, now))
		exits = append(exits, meshError(j.c, checked))
	}
	for _, v := range variants {
		opt := j.opt
		opt.Gateways = v.gateways
		changed, err := j.check(v.p, opt, checked)
		if err != nil {
			return err
		}
		differences = append(differences, report.CompareMeshes(v.title, now, report.NewMeshState(changed)))
		exits = append(exits, meshError(j.c, changed))
	}
	write := asked(j.c, report.MeshDifferenceText, report.MeshDifferenceJSON)
	err = emitUnlessInterrupted(j.c, &outfile.Set{}, func(w io.Writer) error { return write(w, differences) })
	if err != nil {
		return err
	}
	return gravest(exits)
}

// gravest returns the exit of something that does not hold before that of
// something that could not be judged.
func gravest(exits []error) error {
	for _, code := range []int{exitNotHeld, exitUnjudged} {
		for _, err := range exits {
			if codeOf(err) == code {
				return err
			}
		}
	}
	return nil
}

// readOlder reads the file of --changed-from: the figures of an earlier run, or
// a plan that is yet to be checked.
func readOlder(path string) (report.MeshState, *plan.Plan, error) {
	if path == "" {
		return report.MeshState{}, nil, nil
	}
	data, err := readFile(path)
	if err != nil {
		return report.MeshState{}, nil, usagef("changed-from: %w", err)
	}
	state, found, err := report.ReadMeshState(data)
	if err != nil {
		return state, nil, usagef("changed-from: %s: %w", path, err)
	}
	if found {
		return state, nil, nil
	}
	p, err := plan.Read(path, data)
	return state, p, usage(err)
}

// planText is a plan as text that can be changed and read again, so that a
// change is checked like the file itself.
type planText struct {
	Type     string         `json:"type"`
	Features []*featureText `json:"features"`
}

type featureText struct {
	Type       string                     `json:"type"`
	Properties map[string]json.RawMessage `json:"properties"`
	Geometry   json.RawMessage            `json:"geometry"`
}

// without is the plan after the loss of one pole and its links.
func (j *planJob) without(name string) (variant, error) {
	v := variant{title: fmt.Sprintf("Without %q", name)}
	if _, err := stationNamed(j.p, "without", name); err != nil {
		return v, err
	}
	v.gateways = slices.DeleteFunc(slices.Clone(j.opt.Gateways), func(g string) bool { return g == name })
	if len(v.gateways) == 0 && len(j.opt.Gateways) > 0 {
		return v, fmt.Errorf("without: %q is the only gateway, so every pole would be cut off; name another --gateway to "+
			"see what it takes over", name)
	}
	left := *j.p
	left.Source = v.title
	left.Stations = slices.DeleteFunc(slices.Clone(left.Stations), func(s plan.Station) bool { return s.Name == name })
	left.Links = slices.DeleteFunc(slices.Clone(left.Links), func(l plan.Link) bool {
		return l.From == name ||
			l.To == name
	})
	data, err := left.GeoJSON()
	if err != nil {
		return v, err
	}
	v.p, err = plan.Read(v.title, data)
	return v, err
}

// whatIfKey begins each KEY=VALUE; names may hold commas and equals signs.
var whatIfKey = regexp.MustCompile(`(?:^|,)\s*([a-z_]+)=`)

// whatIf is the plan with keys of poles changed: pole=NAME chooses the pole to
// which the keys after it belong.
func (j *planJob) whatIf(text string) (variant, error) {
	v := variant{title: "With " + text, gateways: j.opt.Gateways}
	var t planText
	data, err := j.p.GeoJSON()
	if err == nil {
		err = json.Unmarshal(data, &t)
	}
	if err != nil {
		return v, err
	}
	const allowed = `want such as "pole=NAME,height_m=8"`
	marks := whatIfKey.FindAllStringSubmatchIndex(text, -1)
	if len(marks) < 2 || marks[0][0] != 0 || text[marks[0][2]:marks[0][3]] != "pole" {
		return v, fmt.Errorf("what-if: found %q, %s", text, allowed)
	}
	var props map[string]json.RawMessage
	var errs []error
	for k, mark := range marks {
		end := len(text)
		if k+1 < len(marks) {
			end = marks[k+1][0]
		}
		key, value := text[mark[2]:mark[3]], strings.TrimSpace(text[mark[1]:end])
		if key == "pole" {
			props = map[string]json.RawMessage{} // faults of one pole do not hide those of the next
			st, err := stationNamed(j.p, "what-if", value)
			if err != nil {
				errs = append(errs, err)
				continue
			}
			props = t.Features[st.Feature].Properties
			continue
		}
		if keys := plan.WhatIfKeys(); !slices.Contains(keys, key) {
			errs = append(errs, fmt.Errorf("what-if: found key %q, allowed %s", key, strings.Join(keys, ", ")))
			continue
		}
		props[key] = whatIfValue(value)
	}
	if err := errors.Join(errs...); err != nil {
		return v, err
	}
	if data, err = json.Marshal(t); err != nil {
		return v, err
	}
	v.p, err = plan.Read(v.title, data)
	return v, err
}

// whatIfValue is a number where it reads as one, a word otherwise, null where
// nothing is given: then the value of the settings holds.
func whatIfValue(text string) json.RawMessage {
	if text == "" {
		return json.RawMessage("null")
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil && json.Valid([]byte(text)) {
		return json.RawMessage(text)
	}
	quoted, _ := json.Marshal(text) // a string always has JSON
	return quoted
}

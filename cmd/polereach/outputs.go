package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"
)

// The flags that name a file to write, and those that name files to read.
var (
	writingFlags = []string{"out", "plan-out", "calibration-out", "picture", "png", "asc", "tif", "geojson-contours"}
	readingFlags = []string{"radio", "climate", "weather", "ground", "changed-from", "dem", "calibration"}
)

// outputsApart refuses, before any work, to write a file that is read or that another
// output is: all faults at once.
func outputsApart(c *cli.Context) error {
	type output struct{ flag, path string }
	var outputs []output
	for _, flag := range writingFlags {
		path := c.String(flag)
		if path == "" {
			continue
		}
		outputs = append(outputs, output{flag, path})
		switch flag {
		case "png":
			outputs = append(outputs, output{"the world file of png", withEnding(path, ".pgw")})
		case "asc":
			outputs = append(outputs, output{"the .prj of asc", withEnding(path, ".prj")})
		}
	}
	if len(outputs) == 0 {
		return nil
	}
	var errs []error
	read := inputs(c)
	for i, o := range outputs {
		for _, in := range read {
			if sameFile(o.path, in) {
				errs = append(errs, fmt.Errorf("%s: %s is read by this run; write somewhere else", o.flag, o.path))
				break
			}
		}
		for _, before := range outputs[:i] {
			if sameFile(o.path, before.path) {
				errs = append(errs, fmt.Errorf("%s: %s is what %s writes; give another name", o.flag, o.path, before.flag))
			}
		}
	}
	return usage(errors.Join(errs...))
}

// inputs are the files that the arguments name, those in a folder of terrain among them.
func inputs(c *cli.Context) []string {
	list := c.Args().Slice()
	folders := []string{}
	for _, flag := range readingFlags {
		for _, path := range append(c.StringSlice(flag), c.String(flag)) {
			if path != "" {
				list, folders = append(list, path), append(folders, path)
			}
		}
	}
	for _, plan := range c.Args().Slice() {
		beside := func(name string) string { return filepath.Join(filepath.Dir(plan), name) }
		list = append(list, beside("radio.json"), beside(calibrationFileName), beside("climate.json"), beside("weather.epw"))
		folders = append(folders, beside("dem"))
	}
	for _, folder := range folders {
		entries, _ := os.ReadDir(folder) // none in a file
		for _, e := range entries {
			list = append(list, filepath.Join(folder, e.Name()))
		}
	}
	return list
}

// sameFile reports whether two names are one file, there or yet to come.
func sameFile(a, b string) bool {
	there, err := os.Stat(a)
	other, errOther := os.Stat(b)
	if err == nil && errOther == nil {
		return there.Mode().IsRegular() && os.SameFile(there, other)
	}
	a, err = filepath.Abs(a)
	b, errOther = filepath.Abs(b)
	return err == nil && errOther == nil && a == b
}

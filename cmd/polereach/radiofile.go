package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
)

// radioFileName is looked for beside the plan when --radio is not given.
const radioFileName = "radio.json"

// applyRadioFile sets every flag that the command line left alone from the
// settings file: one JSON object, keys as the flags with underscores. beside
// is the folder of the plan, "" for none. A key that is no setting, or a value
// that is none, is a fault; all are listed at once.
func applyRadioFile(c *cli.Context, beside string) error {
	path := c.String("radio")
	if path == "" {
		if beside == "" {
			return nil
		}
		path = filepath.Join(beside, radioFileName)
		if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
			return nil
		}
	}
	data, err := readFile(path)
	if err != nil {
		return usagef("radio file: %w", err)
	}
	return applyRadio(c, path, data)
}

// applyRadio is applyRadioFile for what stands in the file.
func applyRadio(c *cli.Context, path string, data []byte) error {
	var values map[string]json.RawMessage
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	err := oneObject(data)
	if err == nil {
		err = json.Unmarshal(data, &values)
	}
	if err != nil {
		return usagef("%s: want one JSON object of settings, such as {\"height_m\": 5}: %w", path, err)
	}
	allowed := radioKeys()
	var errs []error
	for _, key := range slices.Sorted(maps.Keys(values)) {
		name := strings.ReplaceAll(key, "_", "-")
		if !slices.Contains(allowed, key) {
			meant := ""
			if under := strings.ReplaceAll(key, "-", "_"); slices.Contains(allowed, under) {
				meant = ", but " + under
			}
			errs = append(errs, fmt.Errorf("%s: %q: no such setting%s; allowed: %s", path, key, meant,
				strings.Join(allowed, " ")))
			continue
		}
		i := slices.IndexFunc(c.Command.Flags, func(f cli.Flag) bool { return f.Names()[0] == name })
		if c.IsSet(name) || i < 0 {
			continue // the command line wins; a setting of another command is let be
		}
		text := settingText(values[key])
		err := commandline.ValueFault(key, c.Command.Flags[i], text)
		if err == nil {
			err = c.Set(name, text)
		}
		errs = append(errs, wrap(path, err))
	}
	return usage(errors.Join(errs...))
}

// radioKeys are the settings a file may hold, whatever the command.
func radioKeys() (keys []string) {
	for _, f := range radioFlags() {
		keys = append(keys, strings.ReplaceAll(f.Names()[0], "-", "_"))
	}
	slices.Sort(keys)
	return keys
}

// settingText is the value as it would stand on the command line.
func settingText(raw json.RawMessage) string {
	var s string
	if json.Unmarshal(raw, &s) == nil {
		return s
	}
	return string(raw)
}

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/plan"
)

// mostRead is the size of the largest file that is read whole, bytes.
const mostRead = 512 << 20

// openFile opens a regular file. A pipe or a device may never end, and opening one may
// never return: write what it gives into a file first.
func openFile(path string) (*os.File, error) {
	st, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if st.IsDir() {
		return nil, fmt.Errorf("%s is a directory", path)
	}
	if !st.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: neither a file that ends nor one that can be read again; give a regular file", path)
	}
	return os.Open(path)
}

// readFile reads a regular file of mostRead at the most.
func readFile(path string) ([]byte, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if st.Size() > mostRead {
		return nil, fmt.Errorf("%s: found %d MiB, allowed %d", path, st.Size()>>20, mostRead>>20)
	}
	buf := bytes.NewBuffer(make([]byte, 0, st.Size()+bytes.MinRead)) // with less it would grow to twice at the end
	_, err = buf.ReadFrom(io.LimitReader(f, mostRead))
	return buf.Bytes(), err
}

// standardInput is the name under which a plan is read from there.
const standardInput = "-"

// readPlanText reads the file of a plan, or standard input until it ends.
func readPlanText(c *cli.Context, path string) ([]byte, error) {
	if path != standardInput {
		data, err := readFile(path)
		inside := filepath.Join(path, planFileName)
		switch {
		case err != nil && exists(inside):
			err = fmt.Errorf("found the folder %s, want the file: write %s", path, commandline.Quoted(inside))
		case errors.Is(err, fs.ErrNotExist) && strings.Trim(path, "0123456789+-.,;") == "":
			err = fmt.Errorf("found %q and no such file; a place is one word, LON,LAT, several stand in quotes", path)
		}
		return data, err
	}
	type text struct {
		data []byte
		err  error
	}
	all := make(chan text, 1)
	go func() { // a read of a terminal or a pipe cannot be called off
		data, err := io.ReadAll(io.LimitReader(c.App.Reader, plan.MaxBytes+1))
		all <- text{data, err}
	}()
	select {
	case <-c.Context.Done():
		return nil, c.Context.Err()
	case read := <-all:
		if len(read.data) > plan.MaxBytes {
			return nil, fmt.Errorf("standard input: found more than %d MiB, allowed in one plan; split it by region",
				plan.MaxBytes>>20)
		}
		return read.data, wrap("standard input", read.err)
	}
}

// readFrom reads a file as parse does; what names the file where it cannot be opened.
func readFrom[T any](what, path string, parse func(io.Reader) (T, error)) (T, error) {
	f, err := openFile(path)
	if err != nil {
		var none T
		return none, fmt.Errorf("%s: %w", what, err)
	}
	defer f.Close()
	value, err := parse(f)
	return value, wrap(path, err)
}

// oneObject refuses what is no JSON object, or has something behind it, or a key twice
// in one object: which of the two counts nobody could tell.
func oneObject(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	first, err := dec.Token()
	if err != nil {
		return err
	}
	if first != json.Delim('{') {
		return fmt.Errorf("found %v, allowed one object in braces", first)
	}
	if err := readInside(dec, '{', "", 1); err != nil {
		return err
	}
	switch more, err := dec.Token(); {
	case errors.Is(err, io.EOF):
		return nil
	case err != nil:
		return err
	default:
		return fmt.Errorf("found %v behind the object's end", more)
	}
}

// deepest is more than any settings, climate or answer of a service nests.
const deepest = 64

// readInside reads the rest of an object or a list, and what is in it.
func readInside(dec *json.Decoder, open json.Delim, path string, depth int) error {
	if depth > deepest {
		return fmt.Errorf("found objects or lists nested deeper than %d, starting with %.40s", deepest, path)
	}
	seen := map[string]bool{}
	for dec.More() {
		at := path
		if open == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			name := path + fmt.Sprint(key)
			bare := strings.ToLower(strings.ToUpper(name)) // capitals count alike when it is read
			if seen[bare] {
				return fmt.Errorf("key %q stands twice", name)
			}
			seen[bare] = true
			at = name + "."
		}
		value, err := dec.Token()
		if inner, opens := value.(json.Delim); opens {
			err = readInside(dec, inner, at, depth+1)
		} else if err == nil && value == nil && strings.Count(at, ".") == 1 { // deeper, services write it for nothing known
			err = fmt.Errorf("%s: found null, allowed a value; leave the key out", at[:len(at)-1])
		}
		if err != nil {
			return err
		}
	}
	_, err := dec.Token()
	return err
}

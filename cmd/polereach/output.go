package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"
)

// emit runs the writer into memory and hands the whole to standard output or
// to --out, so that an error leaves nothing half-written.
func emit(c *cli.Context, write func(io.Writer) error) error {
	var buf bytes.Buffer
	if err := write(&buf); err != nil {
		return failed(err)
	}
	path := c.String("out")
	if path == "" {
		if _, err := c.App.Writer.Write(buf.Bytes()); err != nil {
			return failed(fmt.Errorf("standard output: %w", err))
		}
		return nil
	}
	if err := replaceFile(path, buf.Bytes()); err != nil {
		return failed(fmt.Errorf("out: %w", err))
	}
	return nil
}

// replaceFile writes beside and renames: path holds the old bytes or all of
// the new ones, whatever happens in between.
func replaceFile(path string, data []byte) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if _, err = f.Write(data); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

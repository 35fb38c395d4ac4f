package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/report/picture"
)

func pictureFlag(what string) cli.Flag {
	return &cli.StringFlag{Name: "picture", Usage: "draw " + what + " into `FILE`, .svg or .png"}
}

// pictureFormat is the format that the name of --picture asks for, "" for none.
func pictureFormat(c *cli.Context) (string, error) {
	path := c.String("picture")
	end := strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), ".")
	if path == "" || slices.Contains(picture.Formats, end) {
		return end, nil
	}
	return "", fmt.Errorf("picture: found %q, allowed names that end in .svg or .png", path)
}

// addPicture adds the file of --picture in this format, none where it is "".
func addPicture(c *cli.Context, files *outfile.Set, format string, draw func(w io.Writer, format string) error) error {
	if format == "" {
		return nil
	}
	err := files.Add(c.String("picture"), func(w io.Writer) error { return draw(w, format) })
	if err != nil {
		return failed(fmt.Errorf("picture: %w", err))
	}
	return nil
}

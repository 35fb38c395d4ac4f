package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
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

// addPicture adds the file of --picture, none without the flag, whose name pictureFormat
// has looked at.
func addPicture(c *cli.Context, files *outfile.Set, draw func(w io.Writer, format string) error) error {
	format, err := pictureFormat(c)
	if format == "" {
		return err
	}
	err = files.Add(c.String("picture"), func(w io.Writer) error { return draw(w, format) })
	if err != nil {
		return failed(fmt.Errorf("picture: %w", err))
	}
	return nil
}

// checkSection looks at the flags of a picture of a path from a pole to the neighbour --to.
func checkSection(c *cli.Context, p *plan.Plan, pole string) error {
	format, err := pictureFormat(c)
	switch to := c.String("to"); {
	case err == nil && (format == "") != (to == ""):
		return errors.New("picture: the section of one path is drawn; give --picture FILE and --to NAME of the neighbour")
	case to == "":
	case to == pole:
		err = errors.Join(err, fmt.Errorf("to: %q is the pole itself", to))
	default:
		_, nameErr := stationNamed(p, "to", to)
		err = errors.Join(err, nameErr)
	}
	return err
}

// addSection adds the picture of the path to the neighbour --to.
func addSection(c *cli.Context, files *outfile.Set, site *mesh.Site) error {
	if c.String("picture") == "" {
		return nil
	}
	for i := range site.Links {
		if l := &site.Links[i]; l.Neighbour.Name == c.String("to") {
			return addPicture(c, files, func(w io.Writer, format string) error {
				return picture.Path(w, format, &l.Profile, &l.Result, l.Environment.FreqHz)
			})
		}
	}
	return usagef("to: %q is not examined: it lies beyond --range-km, or at the pole", c.String("to"))
}

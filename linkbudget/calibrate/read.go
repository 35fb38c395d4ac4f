package calibrate

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Fault is a row that was left out.
type Fault struct {
	File string
	Line int // of the file; of a GeoJSON the feature, from 1
	What string
}

func (f Fault) String() string { return fmt.Sprintf("%s, line %d: %s", f.File, f.Line, f.What) }

// MostFaults is how many faulty rows a Log lists; it counts all.
const MostFaults = 1000

// longestLine of a log, bytes.
const longestLine = 1 << 20

// reader hands the rows of one file over.
type reader struct {
	name   string
	mapped map[string]string // key: name of the column in the log
	row    func(Row) error   // the error is a fault of the row
	fault  func(line int, err error)
	rows   int
	texts  [columnCount]string
	objects
}

// read tells the form by its beginning. The error is that of r or of the file as a whole;
// faults of rows go to fault.
func (d *reader) read(r io.Reader) error {
	in := bufio.NewReaderSize(r, 1<<18)
	head, err := in.Peek(512)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if mark := []byte("\xef\xbb\xbf"); bytes.HasPrefix(head, mark) {
		if _, err := in.Discard(len(mark)); err != nil {
			return err
		}
		head = head[len(mark):]
	}
	start := bytes.TrimSpace(head)
	switch {
	case len(start) == 0:
		return fault.Input("found nothing, allowed rows")
	case start[0] == '<':
		return fault.Input("found XML; a track says where a node was, not what it heard: give the log of the receiver too")
	case start[0] == '{' && isCollection(start):
		err = d.readGeoJSON(in)
	case start[0] == '{':
		err = d.readLines(in, func(line int, text []byte) error { return d.object(text) })
	case start[0] == '[':
		return fault.Input("found a JSON list, allowed one object per line (NDJSON)")
	default:
		err = d.readCSV(in)
	}
	return err
}

// isCollection reports whether the beginning of an object is GeoJSON's.
func isCollection(start []byte) bool {
	line, _, _ := bytes.Cut(start, []byte("\n"))
	return bytes.Contains(start, []byte(`"FeatureCollection"`)) ||
		bytes.Contains(line, []byte(`"features"`)) || bytes.Equal(bytes.TrimSpace(line), []byte("{"))
}

// readLines calls row for each line that is not empty.
func (d *reader) readLines(in *bufio.Reader, row func(line int, text []byte) error) error {
	scan := bufio.NewScanner(in)
	scan.Buffer(make([]byte, 1<<16), longestLine)
	line := 0
	for scan.Scan() {
		line++
		if text := bytes.TrimSpace(scan.Bytes()); len(text) > 0 {
			if err := row(line, text); err != nil {
				if errors.Is(err, errWhole) {
					return err
				}
				d.fault(line, err)
			}
		}
	}
	if err := scan.Err(); errors.Is(err, bufio.ErrTooLong) {
		return fault.Input("line %d: longer than %d bytes", line+1, longestLine)
	} else if err != nil {
		return err
	}
	return nil
}

// errWhole marks a fault of the file.
var errWhole = errors.New("the log")

// readCSV takes the separator from the first line. A row is a line, so that one with a
// broken quotation costs that line alone.
func (d *reader) readCSV(in *bufio.Reader) error {
	var comma byte
	var at [columnCount]int
	names := 0
	var fields []string
	return d.readLines(in, func(_ int, text []byte) error {
		if comma == 0 {
			comma = separator(text)
			list, err := split(nil, text, comma)
			if err == nil {
				names = len(list)
				at, err = header(list, d.mapped)
			}
			if err != nil {
				return fmt.Errorf("%w: %w", errWhole, err)
			}
			return nil
		}
		d.rows++
		var err error
		if fields, err = split(fields[:0], text, comma); err != nil {
			return err
		}
		if len(fields) != names {
			return fmt.Errorf("found %d fields, the first line has %d", len(fields), names)
		}
		for c, i := range at {
			if d.texts[c] = ""; i >= 0 {
				d.texts[c] = fields[i]
			}
		}
		return d.take()
	})
}

func (d *reader) take() error {
	r, err := parse(&d.texts)
	if err != nil {
		return err
	}
	return d.row(r)
}

func separator(line []byte) byte {
	best := byte(',')
	for _, c := range []byte(";\t") {
		if bytes.Count(line, []byte{c}) > bytes.Count(line, []byte{best}) {
			best = c
		}
	}
	return best
}

// split appends the fields of a line, without blanks around them.
func split(to []string, line []byte, comma byte) ([]string, error) {
	text := string(line)
	if !strings.Contains(text, `"`) {
		for {
			field, rest, more := strings.Cut(text, string(comma))
			to = append(to, strings.TrimSpace(field))
			if text = rest; !more {
				return to, nil
			}
		}
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = rune(comma), -1
	list, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("broken quotation: %w", err)
	}
	for _, field := range list {
		to = append(to, strings.TrimSpace(field))
	}
	return to, nil
}

// readGeoJSON takes a feature at a time: a Point is where the end is that moves.
func (d *reader) readGeoJSON(in *bufio.Reader) error {
	dec := json.NewDecoder(in)
	for { // to the list of features
		token, err := dec.Token()
		if err != nil {
			return fault.Input("found no features: %w", err)
		}
		if token == "features" {
			if token, err = dec.Token(); err != nil || token != json.Delim('[') {
				return fault.Input("features: found %v, allowed a list", token)
			}
			break
		}
	}
	for dec.More() {
		var f struct {
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
			Properties json.RawMessage
		}
		d.rows++
		if err := dec.Decode(&f); err != nil {
			return fault.Input("feature %d: %w", d.rows, err)
		}
		var lonLat []json.Number
		if f.Geometry.Type == "Point" && json.Unmarshal(f.Geometry.Coordinates, &lonLat) == nil && len(lonLat) > 1 {
			d.texts[colLon], d.texts[colLat] = lonLat[0].String(), lonLat[1].String()
		}
		if err := d.values(f.Properties); err != nil {
			d.texts[colLon], d.texts[colLat] = "", ""
			d.fault(d.rows, err)
		}
	}
	return nil
}

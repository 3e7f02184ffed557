package lens

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"furrow/path"
)

// columns of the CSV file that a grid is measured into.
var columns = []string{"point", "commanded_x_mm", "commanded_y_mm", "measured_x_mm", "measured_y_mm"}

// mostSamples bounds a grid: 100 by 100 points are far more than anyone
// measures.
const mostSamples = 10000

// mostBytes bounds the file of a grid, which may be no file but a device.
const mostBytes = 1 << 22

// ReadCSV reads samples from a file with a header line and the columns point,
// commanded_x_mm, commanded_y_mm, measured_x_mm and measured_y_mm. Errors name
// the line.
func ReadCSV(r io.Reader) ([]Sample, error) {
	in := &io.LimitedReader{R: r, N: mostBytes}
	samples, err := readSamples(in)
	if in.N == 0 {
		return nil, fmt.Errorf("more than %d bytes are too many for a grid", mostBytes)
	}
	return samples, err
}

func readSamples(r io.Reader) ([]Sample, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = len(columns)
	c.TrimLeadingSpace = true
	head, err := c.Read()
	if err != nil {
		return nil, csvError(err)
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff") // spreadsheets write one
	for i, name := range columns {
		if strings.TrimSpace(head[i]) != name {
			return nil, fmt.Errorf("line 1: column %d is %q and not %q", i+1, head[i], name)
		}
	}
	var samples []Sample
	for {
		row, err := c.Read()
		if err == io.EOF {
			return samples, nil
		}
		if err != nil {
			return nil, csvError(err)
		}
		s, err := sampleOf(row)
		line, _ := c.FieldPos(0)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if samples = append(samples, s); len(samples) > mostSamples {
			return nil, fmt.Errorf("line %d: more than %d points", line, mostSamples)
		}
	}
}

func csvError(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fmt.Errorf("line %d: %w", p.Line, p.Err)
	}
	if err == io.EOF {
		return errors.New("line 1: the file is empty")
	}
	return err
}

func sampleOf(row []string) (Sample, error) {
	var v [4]float64
	for i := range v {
		text := strings.TrimSpace(row[i+1])
		if text == "" {
			return Sample{}, fmt.Errorf("%s is empty: measure every point", columns[i+1])
		}
		var err error
		if v[i], err = path.ParseDecimal(text); err != nil {
			return Sample{}, fmt.Errorf("%s: %q is not a number of millimetres", columns[i+1], text)
		}
	}
	return Sample{path.Point{X: v[0], Y: v[1]}, path.Point{X: v[2], Y: v[3]}}, nil
}

// WriteCSV writes the file to measure a grid into: its commanded points,
// numbered from 1, with nothing measured.
func WriteCSV(w io.Writer, commanded []path.Point) error {
	c := csv.NewWriter(w)
	c.Write(columns)
	for i, p := range commanded {
		c.Write([]string{strconv.Itoa(i + 1), mm(p.X), mm(p.Y), "", ""})
	}
	c.Flush()
	return c.Error()
}

func mm(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

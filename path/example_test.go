package path_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/route"
	"furrow/path/svg"
)

const artwork = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">` +
	`<rect x="2" y="2" width="16" height="6"/></svg>`

// Example goes from the bytes of an SVG to a checked file for a controller, in memory.
func Example() {
	var file bytes.Buffer
	err := convert(strings.NewReader(artwork), machine.Examples()[0], &file)
	fmt.Println(strings.HasSuffix(file.String(), "M2\n"), err)
	// Output: true <nil>
}

func convert(artwork io.Reader, m machine.Profile, file io.Writer) error {
	doc, err := svg.Read(artwork, svg.Options{})
	if err != nil {
		return err
	}
	fill := path.Setting{SpeedMMPerS: 150, Power: 0.35, SpacingMM: 0.1}
	marks, _, err := hatch.Fill(doc.Artwork, hatch.Settings{Groups: []hatch.Group{{Setting: fill}}})
	if err != nil {
		return err
	}
	cost := clock.Cost(m, marks.Settings)
	program, _, err := route.Sequence(context.Background(), marks, cost, route.Options{})
	if err != nil {
		return err
	}
	moves, err := emit.Plan(program, m)
	if err != nil {
		return err
	}
	if err := emit.Check(moves, m); err != nil {
		return err
	}
	return gcode.Encoder{Profile: m.Controller()}.Encode(file, moves)
}

// The page of the package opens with the same lines.
func TestDocShowsTheExample(t *testing.T) {
	doc, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	example, err := os.ReadFile("example_test.go")
	require.NoError(t, err)
	body := regexp.MustCompile(`(?s)\nfunc convert.*?\n}\n`).FindString(string(example))
	lines := strings.Split(strings.TrimSpace(body), "\n")
	require.Less(t, len(lines), 25)
	for _, l := range lines {
		require.Contains(t, string(doc), "//\t"+l+"\n")
	}
}

package ngc_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/emit/gcode/ngc"

	"github.com/stretchr/testify/require"
)

// The modal groups of RS274/NGC version 3, Table 4 (from memory of the table, typed in
// anew), G codes in tenths.
var (
	gGroups = map[string][]int{
		"motion": {0, 10, 20, 30, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890}, "plane": {170, 180, 190},
		"distance": {900, 910}, "feed": {930, 940}, "units": {200, 210}, "cutter": {400, 410, 420},
		"length": {430, 490},
		"return": {980, 990}, "system": {540, 550, 560, 570, 580, 590, 591, 592, 593}, "path": {610, 611, 640},
		"none": {40, 100, 280, 300, 530, 920, 921, 922, 923},
	}
	mGroups = map[string][]int{
		"stop": {0, 1, 2, 30, 60}, "tool": {6}, "spindle": {3, 4, 5}, "coolant": {7, 8, 9}, "override": {48, 49},
	}
)

func groupOf(groups map[string][]int, code int) string {
	for name, codes := range groups {
		for _, c := range codes {
			if c == code {
				return name
			}
		}
	}
	return ""
}

// Exactly the codes of the table are codes; M67 is an extension of ours.
func TestCodesOfTheTable(t *testing.T) {
	for code := range 1010 {
		got, err := ngc.Word{Letter: 'G', Value: float64(code) / 10}.GCode()
		require.Equal(t, groupOf(gGroups, code) != "", err == nil, "G%g", float64(code)/10)
		if err == nil {
			require.Equal(t, code, got)
		}
	}
	for code := range 110 {
		got, err := ngc.Word{Letter: 'M', Value: float64(code)}.MCode()
		require.Equal(t, code == 67 || groupOf(mGroups, code) != "", err == nil, "M%d", code)
		if err == nil {
			require.Equal(t, code, got)
		}
	}
	for _, off := range []float64{-1, 0.02, 3.5, 100, -0.2} {
		_, err := ngc.Word{Letter: 'M', Value: off + 0.25}.MCode()
		require.Error(t, err)
		_, err = ngc.Word{Letter: 'G', Value: off + 0.05}.GCode()
		require.Error(t, err)
	}
}

// says returns what is wrong with a line between a beginning and an end that are right.
func says(t *testing.T, line string) string {
	t.Helper()
	errs, err := ngc.Validate(strings.NewReader("G1 F100 X1\n"+line+"\nM2\n"), 5)
	require.NoError(t, err)
	var all []string
	for _, e := range errs {
		all = append(all, e.Error())
	}
	return strings.Join(all, "; ")
}

// Two codes of one group may not stand on a line, two of different groups may. Codes
// that need further words, motions and group 0 but for G53 and G92.1, stand aside.
func TestTwoCodesOfAGroup(t *testing.T) {
	plain := []int{170, 180, 190, 900, 910, 940, 200, 210, 400, 490, 980, 990, 540, 550, 592, 610, 611, 640}
	for _, a := range plain {
		for _, b := range plain {
			if a == b {
				continue
			}
			got := says(t, fmt.Sprintf("G%g G%g", float64(a)/10, float64(b)/10))
			require.Equal(t, groupOf(gGroups, a) == groupOf(gGroups, b), got != "", "G%g G%g: %s", float64(a)/10,
				float64(b)/10, got)
		}
	}
	for _, a := range []int{0, 1, 3, 5, 7, 8, 9, 48, 49} {
		for _, b := range []int{0, 1, 3, 5, 7, 8, 9, 48, 49} {
			one := groupOf(mGroups, a) == groupOf(mGroups, b) && a != b
			// M7 and M8 may be on at once, but on lines of their own
			coolants := (a == 7 || a == 8) && (b == 7 || b == 8)
			if a == b || coolants {
				continue
			}
			got := says(t, fmt.Sprintf("M%d M%d", a, b))
			require.Equal(t, one, got != "", "M%d M%d: %s", a, b, got)
		}
	}
	for line, wrong := range map[string]bool{
		"G4 P1": false, "G4": true, "G28": false, "G30": false, "G10 L2 P1 X0": false, "G92 X0": false, "G92": true,
		"G28 X1": false, "G53 G1 X2": false,
	} {
		require.Equal(t, wrong, says(t, line) != "", "%s: %s", line, says(t, line))
	}
}

// An error says its line, and only that where it has one.
func TestErrorsNameTheirLine(t *testing.T) {
	require.Equal(t, "line 2: G3.5 is no code of RS274/NGC", says(t, "G3.5"))
	require.NotContains(t, (&ngc.Error{Reason: "odd"}).Error(), "line")
}

// Numbers of many digits are read to the last.
func TestNumbersToTheLastDigit(t *testing.T) {
	var l ngc.Line
	for text, want := range map[string]float64{
		"X0.1": 0.1, "X.5": 0.5, "X-12.": -12, "X+3": 3, "X0.12345678901": 0.12345678901, "X123456789.25": 123456789.25,
		"X0.1234567890123": 0.1234567890123, "X1.00000000000001": 1.00000000000001,
	} {
		require.NoError(t, l.Parse([]byte(text)), text)
		require.Len(t, l.Words, 1)
		require.InEpsilon(t, want, l.Words[0].Value, 1e-15, text)
	}
}

// A file of lines between "%": none but blank lines may stand before the first.
func TestPercentsOfAFile(t *testing.T) {
	for text, ok := range map[string]bool{
		"%\nG1 F100 X1\n%\n": true, "\n \n%\nG1 F100 X1\n%\n": true, "%\nG1 F100 X1\n%\nno line at all\n": true,
		"G1 F100 X1\n%\nM2\n": false, "%\nG1 F100 X1\n": false, "%\nG1 F100 X1\nM2\n": true, "": false,
	} {
		errs, err := ngc.Validate(strings.NewReader(text), 5)
		require.NoError(t, err)
		require.Equal(t, ok, len(errs) == 0, "%q: %v", text, errs)
	}
	for limit := 1; limit < 4; limit++ {
		errs, err := ngc.Validate(strings.NewReader("G3.5\nG3.5\nG3.5\nG3.5\n"), limit)
		require.NoError(t, err)
		require.Len(t, errs, limit, "no more than were asked for, the end's too")
	}
}

// A line number has up to five digits.
func TestLineNumbers(t *testing.T) {
	var l ngc.Line
	for text, n := range map[string]int{"N1 X1": 1, "N99999 X1": 99999, "n00007X1": 7, "X1": -1} {
		require.NoError(t, l.Parse([]byte(text)), text)
		require.Equal(t, n, l.Number, text)
	}
	for _, text := range []string{"N X1", "N100000 X1", "N-1 X1"} {
		require.Error(t, l.Parse([]byte(text)), text)
	}
}

// A dwell takes its P word wherever it stands, and comes before a stop.
func TestPausesOfALine(t *testing.T) {
	for text, want := range map[string][]ngc.Pause{
		"G4 P1.5": {{P: 1.5}}, "P2 G4": {{P: 2}}, "M0": {{Stop: true}}, "M1": {{Stop: true}}, "M60": {{Stop: true}},
		"M0 G4 P3": {{P: 3}, {Stop: true}}, "G1 X4 F100": nil, "M5": nil, "S40": nil, "G41 P7": nil,
	} {
		var l ngc.Line
		require.NoError(t, l.Parse([]byte(text)), text)
		require.Equal(t, want, l.Pauses(), text)
	}
}

package main

import (
	"encoding/json"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

const (
	wideArt = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="10mm"><rect width="100%" height="100%"/>` +
		`</svg>`
	tagArt = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm"><rect width="100%" height="100%"/>` +
		`</svg>`
	barArt = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 60 90">
<rect width="5" height="60" transform="rotate(-20 30 45)" x="20" y="10"/></svg>`
)

// hatchJSON hatches with a quick search and returns the figures.
func hatchJSON(t *testing.T, art string, args ...string) hatchFigures {
	t.Helper()
	out := filepath.Join(t.TempDir(), "out.nc")
	var got hatchFigures
	text := furrow(t, append([]string{"hatch", art, "-o", out, "--json", "--effort", "quick", "--spacing", "0.1mm"},
		args...)...)
	require.NoError(t, json.Unmarshal([]byte(text), &got))
	return got
}

// Whoever follows the advice of hatch gains what it said, by the clock, to half a
// percent of the job. The machine's X is the stronger axis.
func TestAdviceIsKept(t *testing.T) {
	t.Parallel()
	speed, saves := `([\d.]+) mm/s at ([\d.]+) %, same dose, saves `, `saves? ([\d.:]+)( s)?$`
	for _, tt := range []struct {
		name, art, advice   string
		speed, power, angle string
		follow              []string // in place of those
	}{
		{"slower", barArt, speed, "150", "35", "0", nil},
		{"faster", tagArt, speed, "100", "30", "0", nil},
		{"rows turned", wideArt, "^rows at 0 degrees", "150", "35", "90", []string{"--angle", "0"}},
		{"part and rows turned", tagArt, "^turning the part and its rows", "150", "35", "90",
			[]string{"--angle", "0", "--rotate", "90"}},
		{"part turned", tagArt, "^turning the part alone", "150", "35", "0",
			[]string{"--angle", "0", "--rotate", "90"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			art := write(t, "art.svg", tt.art)
			base := []string{"--machine", "example-co2", "--speed", tt.speed, "--power", tt.power, "--angle", tt.angle}
			before := hatchJSON(t, art, base...)
			words := adviceLike(before.Advice, tt.advice)
			require.NotEmpty(t, words, "%q is not in %q", tt.advice, before.Advice)
			follow := append(base, tt.follow...)
			if m := regexp.MustCompile(speed).FindStringSubmatch(words); m != nil {
				follow = append(base, "--speed", m[1], "--power", m[2])
				require.Equal(t, tt.name == "slower", number64(t, m[1]) < number64(t, tt.speed))
				require.Equal(t, tt.name == "slower", strings.HasPrefix(words, "slower is quicker: "))
			}
			after := hatchJSON(t, art, follow...)
			said := regexp.MustCompile(saves).FindStringSubmatch(words)
			require.NotNil(t, said, words)
			require.InDelta(t, before.Seconds-after.Seconds, watchSeconds(t, said[1]), 0.01*before.Seconds, words)
		})
	}
}

func adviceLike(all []string, pattern string) string {
	for _, words := range all {
		if regexp.MustCompile(pattern).MatchString(words) {
			return words
		}
	}
	return ""
}

// watchSeconds reads "1:09" or "5.6" as seconds.
func watchSeconds(t *testing.T, text string) float64 {
	t.Helper()
	minutes, seconds, ok := strings.Cut(text, ":")
	if !ok {
		return number64(t, text)
	}
	return 60*number64(t, minutes) + number64(t, seconds)
}

func number64(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// Of all directions the one that is picked takes the least time, to a percent.
func TestBestAngleIsBest(t *testing.T) {
	t.Parallel()
	step := 45
	if outside.Strict() {
		step = 15
	}
	for _, art := range []string{write(t, "bar.svg", barArt), write(t, "tag.svg", tagArt), "demo/tag.svg"} {
		hatched := func(angle string) float64 {
			return hatchJSON(t, art, "--machine", "example-co2", "--speed", "150", "--power", "35",
				"--spacing", "0.6mm", "--angle", angle).Seconds
		}
		best := hatched("best")
		for angle := 0; angle < 180; angle += step {
			require.LessOrEqual(t, best, 1.01*hatched(strconv.Itoa(angle)), "%s at %d degrees", art, angle)
		}
	}
}

// What would not fit is no advice: turned, this strip is longer than the bed.
func TestAdviceFitsTheBed(t *testing.T) {
	strip := write(t, "strip.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="450mm">
<rect width="100%" height="100%"/></svg>`)
	upright := hatchJSON(t, strip, "--machine", "example-co2", "--speed", "150", "--power", "35", "--spacing", "1mm",
		"--rotate", "90")
	require.Empty(t, adviceLike(upright.Advice, "turning"), upright.Advice)
}

// A line too thin for rows the other way is hatched all the same.
func TestAdviceFailsNoJob(t *testing.T) {
	thin := write(t, "thin.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 `+
		`30 30">
<rect x="5" width=".02" height="30"/></svg>`)
	require.Positive(t, hatchJSON(t, thin, "--machine", "example-co2", "--speed", "50", "--power", "35", "--inset",
		"0mm").Spans)
}

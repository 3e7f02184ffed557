package swatch_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/swatch"
)

func axis(t *testing.T, text string) swatch.Axis {
	t.Helper()
	var a swatch.Axis
	require.NoError(t, a.Set(text))
	return a
}

// Ranges, ratios and lists, by hand.
func TestAxis(t *testing.T) {
	for _, tt := range []struct {
		text string
		room int
		want []float64
	}{
		{"speed=200:1200", 7, []float64{200, 400, 600, 800, 1000, 1200}}, // steps of 200 and not of 166.67
		{"speed=200:1200", 5, []float64{200, 450, 700, 950, 1200}},
		{"speed=200:1200:3", 0, []float64{200, 700, 1200}},
		{"speed=1200:200:3", 0, []float64{1200, 700, 200}},
		{"power=10:80:4:ratios", 0, []float64{10, 20, 40, 80}},
		{"power=10%,35%", 0, []float64{10, 35}},
		{"spacing=25um:0.1mm:4", 0, []float64{0.025, 0.05, 0.075, 0.1}},
		{"spacing=254lpi,127lpi", 0, []float64{0.1, 0.2}},
		{"frequency=20kHz:80kHz:3", 0, []float64{20, 50, 80}},
		{"passes=1:3", 8, []float64{1, 2, 3}},
		{"focus=-2:2:5", 0, []float64{-2, -1, 0, 1, 2}},
		{"angle=0:45:2", 0, []float64{0, 45}},
	} {
		a, err := axis(t, tt.text).Filled(tt.room)
		require.NoError(t, err, tt.text)
		require.Len(t, a.Values, len(tt.want))
		require.InDeltaSlice(t, tt.want, a.Values, 1e-9, tt.text)
	}
	for _, text := range []string{"speed", "speed=", "speed=1:2:3:4:5", "speed=1:2:1", "speed=1:2:even",
		"speed=100,100",
		"spacing=0.1", "frequency=20:80", "power=20:120", "warmth=1:2", "speed=1:2:101", "focus=-1:1:ratios"} {
		require.Error(t, new(swatch.Axis).Set(text), text)
	}
	_, err := axis(t, "speed=1:2").Filled(1)
	require.Error(t, err)
}

func TestNames(t *testing.T) {
	for want, at := range map[string][2]int{"A1": {0, 0}, "C4": {2, 3}, "Z1": {25, 0}, "AA12": {26, 11},
		"CV100": {99, 99}} {
		require.Equal(t, want, swatch.Name(at[0], at[1]))
	}
}

// FuzzRead reads any bytes as the file of a card: an error, or a file that can be asked.
func FuzzRead(f *testing.F) {
	m, err := settings.FindMachine("example-fibre")
	if err != nil {
		f.Fatal(err)
	}
	r := swatch.Request{Machine: m.ID, Around: "example-fibre-steel"}
	s, err := r.Spec()
	if err != nil {
		f.Fatal(err)
	}
	cards, err := swatch.Grid(s)
	if err != nil {
		f.Fatal(err)
	}
	made, err := cards[0].Make()
	if err != nil {
		f.Fatal(err)
	}
	var b bytes.Buffer
	if err := swatch.FileOf([]swatch.Made{made}, []string{"card.mvl"}).Encode(&b); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte("furrow = 1\n[columns]\nsetting = \"speed\"\nvalues = [nan]\n[[patch]]\nname = \"A1\"\npasses = -3\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := swatch.Read("card.toml", data)
		if err != nil {
			return
		}
		p := file.Patches[0]
		p.Fill()
		finer := swatch.Request{From: file, Finer: &p}
		s, err := finer.Spec()
		if err != nil {
			return
		}
		_, _ = swatch.Grid(s)
	})
}

// FuzzAxis reads any text as an axis, and as lettering: an error, or values that can be
// lettered.
func FuzzAxis(f *testing.F) {
	for _, text := range []string{"speed=200:1200:6:ratios", "spacing=25um,0.1mm", "focus=-2:2", "angle=0:90:3",
		"passes=1:1000", "share=50:90"} {
		f.Add(text, 7)
	}
	f.Fuzz(func(t *testing.T, text string, room int) {
		new(swatch.Letters).Set(text)
		var a swatch.Axis
		if a.Set(text) != nil {
			return
		}
		a, err := a.Filled(min(room, 200))
		if err != nil {
			return
		}
		if len(a.Values) == 0 || len(a.Values) > 200 {
			t.Fatalf("%d values", len(a.Values))
		}
		a.Words()
	})
}

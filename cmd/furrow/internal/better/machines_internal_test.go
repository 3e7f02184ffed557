package better

import (
	"furrow/path"
	"testing"

	"github.com/stretchr/testify/require"
)

// fitWords: the room less the run-ups is what each set-up has.
func TestFitWords(t *testing.T) {
	marks := func(w, h float64) path.Rect { return path.Rect{Max: path.Point{X: w, Y: h}} }
	for _, tt := range []struct {
		w, h, travelW, travelH, roomW, roomH float64
		want                                 string
	}{
		{100, 50, 120, 50, 130, 60, "if moved"},
		{50, 100, 50, 120, 130, 60, "if turned"},
		{200, 50, 220, 50, 130, 60, "in 2 set-ups"},
		{215, 50, 235, 50, 130, 60, "in 2 set-ups"},
		{225, 50, 245, 50, 130, 60, "in 3 set-ups"}, // 3 of 75 mm and 20 mm of run-up
		{100, 50, 240, 50, 130, 60, "no"},
		{1, 50, 130.5, 50, 130, 60, "in 2 set-ups"}, // half a millimetre at a time
		{90, 1, 90, 60.5, 130, 60, "in 2 set-ups"},
	} {
		got := fitWords(marks(tt.w, tt.h), path.Point{X: tt.travelW, Y: tt.travelH},
			path.Point{X: tt.roomW, Y: tt.roomH})
		require.Equal(t, tt.want, got, "%+v", tt)
	}
}

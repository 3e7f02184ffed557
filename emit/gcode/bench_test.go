package gcode_test

import (
	"bytes"
	"io"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

const benchRows = 100_000

// benchFill is the moves of a fill, held in memory so that only the writer is
// timed: travel, run-up, mark and run-out of each row.
func benchFill() emit.Moves {
	var list []emit.Move
	for k := range benchRows {
		y, d := float64(k)*0.001, 1.0
		if k%2 == 1 {
			d = -1
		}
		at := func(x float64) path.Point { return path.Point{X: d*x + float64(k%997)*0.001, Y: y} }
		list = append(list, emit.Move{To: at(-33.123)},
			emit.Move{Kind: emit.Gap, To: at(-21.517), Speed: 100},
			emit.Move{Kind: emit.Mark, To: at(20.109), Speed: 100, Power: 0.3},
			emit.Move{Kind: emit.Gap, To: at(31.713), Speed: 100})
	}
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for i := range list {
			if !yield(list[i], nil) {
				return
			}
		}
	}}
}

func BenchmarkWrite(b *testing.B) {
	m := benchFill()
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, gcode.Encoder{}.Encode(io.Discard, m))
	}
	perSecond(b)
}

func BenchmarkRead(b *testing.B) {
	var file bytes.Buffer
	require.NoError(b, gcode.Encoder{}.Encode(&file, benchFill()))
	m, err := gcode.Read(bytes.NewReader(file.Bytes()), machine.GCode{})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		for _, err := range m.Play {
			require.NoError(b, err)
		}
	}
	perSecond(b)
}

func perSecond(b *testing.B) {
	b.ReportMetric(4*benchRows*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mmoves/s")
}

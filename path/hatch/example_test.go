package hatch_test

import (
	"fmt"

	"furrow/path"
	"furrow/path/hatch"
)

// A square with a knocked-out disc, filled with rows a millimetre apart. Rows
// are read in place, without copying.
func ExampleFill() {
	art := path.Artwork{Shapes: []path.Shape{solid(rect(0, 0, 6, 4)), knock(disc(3, 2, 1))}}
	marks, report, err := hatch.Fill(art, hatch.Settings{
		Groups: []hatch.Group{{Setting: path.Setting{SpeedMMPerS: 150, Power: 0.35, SpacingMM: 1}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Rows, "rows,", report.Spans, "spans")
	for i := range marks.Rows {
		set := &marks.Rows[i]
		for k := range set.NumRows() {
			for _, s := range set.Row(k) {
				fmt.Printf("y %.1f: %.2f to %.2f\n", set.At(k, 0).Y, s.X0, s.X1)
			}
		}
	}
	// Output:
	// 4 rows, 6 spans
	// y 0.5: 0.00 to 6.00
	// y 1.5: 0.00 to 2.14
	// y 1.5: 3.86 to 6.00
	// y 2.5: 0.00 to 2.14
	// y 2.5: 3.86 to 6.00
	// y 3.5: 0.00 to 6.00
}

// A cross-hatch in two passes, the second turned by 30 degrees, with the edges
// traced last by a setting of their own.
func ExampleFill_passes() {
	art := path.Artwork{Shapes: []path.Shape{solid(rect(0, 0, 6, 4))}}
	marks, _, _ := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{{
		Setting:  path.Setting{Name: "fill", SpacingMM: 1},
		Angles:   []float64{45},
		Cross:    90,
		Passes:   2,
		PassTurn: 30,
		Outline:  hatch.Outline{When: hatch.After, Setting: path.Setting{Name: "edge"}},
	}}})
	for _, set := range marks.Rows {
		fmt.Printf("phase %d: %s, %.2f mm\n", set.Phase, marks.Settings[set.Setting].Name, set.Length())
	}
	for _, line := range marks.Lines {
		fmt.Printf("phase %d: %s, %d points\n", line.Phase, marks.Settings[line.Setting].Name, len(line.Points))
	}
	// Output:
	// phase 1: fill, 24.08 mm
	// phase 2: fill, 24.08 mm
	// phase 3: fill, 24.03 mm
	// phase 4: fill, 24.30 mm
	// phase 5: edge, 6 points
}

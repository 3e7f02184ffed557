package markvec_test

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/path"
)

func itoa(n int) string { return strconv.Itoa(n) }

func hex8(v uint32) string { return fmt.Sprintf("%08x", v) }

// rows returns a program of n rows of one mark each, as a hatched field has.
func rows(n int) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000}}}
	for i := range n {
		y := float64(i%1500)*0.1 - 75
		a, b := path.Point{X: -52.1234, Y: y}, path.Point{X: 47.4321, Y: y}
		if i%2 == 1 {
			a, b = b, a
		}
		p.Append(path.Stroke{}, a, b)
	}
	return p
}

func planned(b *testing.B, n int) emit.Moves {
	m, err := emit.Plan(rows(n), byhand.Fibre())
	if err != nil {
		b.Fatal(err)
	}
	return m
}

const benchRows = 500_000 // a million vectors

func report(b *testing.B) {
	b.ReportMetric(float64(b.N)*2*benchRows/1e6/b.Elapsed().Seconds(), "Mvectors/s")
}

// BenchmarkEncode writes moves that are ready, without planning them.
func BenchmarkEncode(b *testing.B) {
	m := planned(b, benchRows)
	m.Play = of(play(b, m))
	b.ReportAllocs()
	for b.Loop() {
		if err := (markvec.Encoder{}).Encode(io.Discard, m); err != nil {
			b.Fatal(err)
		}
	}
	report(b)
}

func BenchmarkPlanAndEncode(b *testing.B) {
	m := planned(b, benchRows)
	b.ReportAllocs()
	for b.Loop() {
		if err := (markvec.Encoder{}).Encode(io.Discard, m); err != nil {
			b.Fatal(err)
		}
	}
	report(b)
}

func BenchmarkReader(b *testing.B) {
	list := []byte(encode(b, planned(b, benchRows)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := markvec.NewReader(bytes.NewReader(list))
		for err == nil {
			_, err = r.Next()
		}
		if err != io.EOF {
			b.Fatal(err)
		}
	}
	report(b)
}

func BenchmarkReadAndClock(b *testing.B) {
	list := []byte(encode(b, planned(b, benchRows)))
	b.ReportAllocs()
	for b.Loop() {
		m, err := markvec.Read(bytes.NewReader(list))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := clock.Run(m, machine.Profile{}); err != nil {
			b.Fatal(err)
		}
	}
	report(b)
}

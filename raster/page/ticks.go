package page

import (
	"math"
	"strconv"
)

// ruling is the distances between the labelled and the plain ticks of a ruler,
// in the ruler's unit.
type ruling struct{ major, minor float64 }

// metric returns the closest ruling of 1, 2 or 5 times a power of ten whose
// labels are at least room apart and whose ticks are at least fine apart; scale
// is the length of a unit, in the same measure as room and fine.
func metric(scale, room, fine float64) ruling {
	major := niceAbove(room / scale)
	lead := math.Round(major / math.Pow(10, math.Floor(math.Log10(major)*(1+1e-12)+1e-9)))
	parts := map[float64][]float64{1: {10, 5, 2}, 2: {10, 4, 2}, 5: {10, 5}}[lead]
	return ruling{major, major / finest(parts, major*scale, fine)}
}

// inches is the ruling by halves up to an inch and 1, 2 or 5 times a power of
// ten above.
func inches(scale, room, fine float64) ruling {
	major := 1.0 / 64
	for major < 1 && major*scale < room {
		major *= 2
	}
	if major*scale < room {
		return metric(scale, room, fine)
	}
	return ruling{major, major / finest([]float64{8, 4, 2}, major*scale, fine)}
}

func finest(parts []float64, length, fine float64) float64 {
	for _, n := range parts {
		if length/n >= fine {
			return n
		}
	}
	return 1
}

// niceAbove returns the least of 1, 2 or 5 times a power of ten that is not
// below v, which must be above 0.
func niceAbove(v float64) float64 {
	return niceOf(v, 1, 2, 5)
}

// niceOf returns the least of steps times a power of ten that is not below v;
// steps ascend from 1.
func niceOf(v float64, steps ...float64) float64 {
	exp := int(math.Floor(math.Log10(v)))
	for _, m := range append(steps, 10, 20) {
		// Parsed rather than multiplied, so that a tenth is 0.1 exactly.
		n, _ := strconv.ParseFloat(strconv.FormatFloat(m, 'g', -1, 64)+"e"+strconv.Itoa(exp), 64)
		if n >= v*(1-1e-9) {
			return n
		}
	}
	return v
}

// trim writes v without trailing zeros or noise of the last digits.
func trim(v float64) string {
	s := strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// multiples calls f for every whole multiple i·step in lo..hi.
func multiples(lo, hi, step float64, f func(i int, v float64)) {
	for i := int(math.Ceil(lo/step - 1e-9)); float64(i) <= hi/step+1e-9; i++ {
		f(i, float64(float64(i)*step))
	}
}

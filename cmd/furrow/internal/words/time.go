package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// ParseTime reads a time as a watch shows it: "12:30", "1:02:30", and "45s", "3min"
// or "1.5h".
func ParseTime(text string) (time.Duration, error) {
	text = strings.TrimSpace(text)
	wrong := fmt.Errorf("%q is no time: write it as 12:30, 1:02:30, 45s or 3min", text)
	if strings.Contains(text, ":") {
		return parseWatch(text, wrong)
	}
	for _, u := range []struct {
		unit string
		of   time.Duration
	}{{"min", time.Minute}, {"h", time.Hour}, {"s", time.Second}} {
		if number, ok := strings.CutSuffix(text, u.unit); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
			if err != nil || !(v > 0 && v <= 1e6) {
				return 0, wrong
			}
			return time.Duration(v * float64(u.of)), nil
		}
	}
	return 0, wrong
}

// parseWatch reads minutes and seconds, with hours before them or not.
func parseWatch(text string, wrong error) (time.Duration, error) {
	parts := strings.Split(text, ":")
	if len(parts) > 3 {
		return 0, wrong
	}
	total := 0.0
	for i, p := range parts {
		v, err := strconv.ParseFloat(p, 64)
		last := i == len(parts)-1
		if err != nil || !(v >= 0) || v > 1e5 || i > 0 && v >= 60 || !last && v != math.Trunc(v) {
			return 0, wrong
		}
		total = 60*total + v
	}
	if total == 0 {
		return 0, wrong
	}
	return Seconds(total), nil
}

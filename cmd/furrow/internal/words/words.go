package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"furrow/path"
)

// OnlyFirst returns the head of a line that has several: it stands on the first.
func OnlyFirst(head string, i int) string {
	if i > 0 {
		return ""
	}
	return head
}

// Seconds returns s seconds.
func Seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// Shortest writes a number in the fewest digits that read back as it.
func Shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Thousands writes 12345 as 12,345.
func Thousands(n int64) string {
	s := strconv.FormatInt(n, 10)
	start := 0
	if n < 0 {
		start = 1
	}
	for i := len(s) - 3; i > start; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// Metres words a length of mm, in metres once it is long.
func Metres(mm float64) string {
	if mm < 1000 {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return fmt.Sprintf("%.1f m", mm/1000)
}

// Duration words a time as a person says it: "10 min 54 s", "1 h 05 min".
func Duration(d time.Duration) string {
	if d < 10*time.Second {
		return fmt.Sprintf("%.2f s", d.Seconds())
	}
	s := int64(math.Round(d.Seconds()))
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s < 3600:
		return fmt.Sprintf("%d min %02d s", s/60, s%60)
	}
	return fmt.Sprintf("%d h %02d min", s/3600, s%3600/60)
}

// ClockTime words a part of a time shortly: "6:00", "1:05:00", "0.4 s".
func ClockTime(d time.Duration) string {
	if d < 10*time.Second {
		return fmt.Sprintf("%.2f s", d.Seconds())
	}
	s := int64(math.Round(d.Seconds()))
	if s < 3600 {
		return fmt.Sprintf("%d:%02d", s/60, s%60)
	}
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s%3600/60, s%60)
}

// Size words a width and height.
func Size(r path.Rect) string { return fmt.Sprintf("%.1f x %.1f mm", r.W(), r.H()) }

// Plural writes "1 shape", "2 shapes".
func Plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	ending := "s"
	if strings.HasSuffix(word, "s") {
		ending = "es"
	}
	return Thousands(int64(n)) + " " + word + ending
}

// Decimal writes v with at most digits decimals, without trailing zeros.
func Decimal(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// Numbers words numbers that rise: "1 to 12", "7, 12 to 14".
func Numbers(all []int) string {
	var parts []string
	for i := 0; i < len(all); {
		k := i
		for k+1 < len(all) && all[k+1] == all[k]+1 {
			k++
		}
		switch k - i {
		case 0:
			parts = append(parts, strconv.Itoa(all[i]))
		case 1:
			parts = append(parts, strconv.Itoa(all[i]), strconv.Itoa(all[k]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", all[i], all[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}

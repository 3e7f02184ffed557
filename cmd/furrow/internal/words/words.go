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
func Thousands(n int64) string { return Grouped(strconv.FormatInt(n, 10)) }

// Grouped puts a comma between the thousands of a number's text.
func Grouped(text string) string {
	whole, rest := text, ""
	if i := strings.IndexByte(text, '.'); i >= 0 {
		whole, rest = text[:i], text[i:]
	}
	digits := strings.TrimPrefix(whole, "-")
	sign := whole[:len(whole)-len(digits)]
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return sign + digits + rest
}

// Metres words a length of mm, in metres once it is long.
func Metres(mm float64) string {
	if mm < 1000 {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return Grouped(strconv.FormatFloat(mm/1000, 'f', 1, 64)) + " m"
}

// Time words a time as a watch shows it: "9:14", "1:02:30", below ten seconds with a
// tenth, "0:01.6", and "0.46 s" below one.
func Time(d time.Duration) string {
	switch {
	case d < 995*time.Millisecond:
		return fmt.Sprintf("%.2f s", d.Seconds())
	case d < 9950*time.Millisecond:
		return fmt.Sprintf("0:%04.1f", d.Seconds())
	}
	s := int64(math.Round(d.Seconds()))
	if s < 3600 {
		return fmt.Sprintf("%d:%02d", s/60, s%60)
	}
	return fmt.Sprintf("%s:%02d:%02d", Thousands(s/3600), s%3600/60, s%60)
}

// savingSteps are what a saving is rounded to, s.
var savingSteps = []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600}

// Saving words how much of a time is saved, no finer than half a percent of it: what
// the time rests on is not known better.
func Saving(saved, of time.Duration) string {
	s := savedSeconds(saved, of)
	if s < 60 {
		return Decimal(s, 2) + " s"
	}
	return Time(Seconds(s))
}

// Tells reports that a saving is not too small a part of the time to be told.
func Tells(saved, of time.Duration) bool { return savedSeconds(saved, of) > 0 }

func savedSeconds(saved, of time.Duration) float64 {
	step := savingSteps[len(savingSteps)-1]
	for _, s := range savingSteps {
		if s >= 0.005*of.Seconds() {
			step = s
			break
		}
	}
	if saved >= time.Minute {
		step = max(step, 1)
	}
	return step * math.Round(saved.Seconds()/step)
}

// Size words a width and height.
func Size(r path.Rect) string { return fmt.Sprintf("%.1f x %.1f mm", r.W(), r.H()) }

// Plural writes "1 shape", "2 shapes".
func Plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	ending := "s"
	if strings.HasSuffix(word, "s") || strings.HasSuffix(word, "ch") {
		ending = "es"
	}
	return Thousands(int64(n)) + " " + word + ending
}

// Number writes v with at most digits decimals, without trailing zeros, and a comma
// between thousands. Coordinates are Decimal's, for they are typed into controllers.
func Number(v float64, digits int) string { return Grouped(Decimal(v, digits)) }

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

// And lists words: "a", "a and b", "a, b and c".
func And(all []string) string {
	last := len(all) - 1
	if last < 1 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:last], ", ") + " and " + all[last]
}

// Round names the shape of what is not a rectangle, of a width and height that files know to
// a micrometre.
func Round(w, h float64) string {
	if math.Abs(w-h) > 5e-4 {
		return "oval"
	}
	return "round"
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

package quote

import (
	"math"
	"time"

	"furrow/cmd/furrow/internal/value"
)

// Done returns the day on which so many hours of one machine are done, where work
// begins on the day start; ok is false where the rates name no hours a day. Days of
// work are counted from Monday on, five a week unless the rates say otherwise.
func (r Rates) Done(hours float64, start time.Time) (day time.Time, ok bool) {
	if r.HoursADay == nil || math.IsNaN(hours) || hours > 1e6 {
		return time.Time{}, false
	}
	left := max(1, int(math.Ceil(hours/float64(*r.HoursADay)-1e-9)))
	week := int(value.Or(r.DaysAWeek, 5))
	for day = start; ; day = day.AddDate(0, 0, 1) {
		if (int(day.Weekday())+6)%7 < week {
			left--
		}
		if left == 0 {
			return day, true
		}
	}
}

package quote_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"furrow/cmd/furrow/internal/quote"
)

// 2026-12-04 is a Friday.
func TestDone(t *testing.T) {
	friday := time.Date(2026, 12, 4, 0, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		hours, aDay float64
		week        float64
		want        string
	}{
		{8, 8, 5, "2026-12-04"}, {8.1, 8, 5, "2026-12-07"}, {8.1, 8, 6, "2026-12-05"}, {48, 8, 5, "2026-12-11"},
		{0, 8, 5, "2026-12-04"},
	} {
		r := quote.Rates{HoursADay: num(tt.aDay), DaysAWeek: num(tt.week)}
		day, ok := r.Done(tt.hours, friday)
		assert.True(t, ok)
		assert.Equal(t, tt.want, day.Format(time.DateOnly), "%+v", tt)
	}
	saturday := friday.AddDate(0, 0, 1)
	day, _ := quote.Rates{HoursADay: num(8)}.Done(1, saturday)
	assert.Equal(t, "2026-12-07", day.Format(time.DateOnly))
	_, ok := quote.Rates{}.Done(1, friday)
	assert.False(t, ok)
	for hours, want := range map[float64]bool{math.NaN(): false, math.Inf(1): false, 1e6 + 1: false, 1e6: true} {
		_, ok := quote.Rates{HoursADay: num(24)}.Done(hours, friday)
		assert.Equal(t, want, ok, "%g", hours)
	}
}

package words_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"furrow/cmd/furrow/internal/words"
)

func TestParseTime(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"12:30": 12*time.Minute + 30*time.Second, "1:02:30": time.Hour + 2*time.Minute + 30*time.Second,
		"0:07.5": 7500 * time.Millisecond,
		"45s":    45 * time.Second, " 3 min": 3 * time.Minute, "1.5h": 90 * time.Minute,
		"0:59.9": 59900 * time.Millisecond, "90:00": 90 * time.Minute, "100000:00": 100000 * time.Minute,
		"1000000s": 1e6 * time.Second,
		"0:00:01":  time.Second, "0.5s": 500 * time.Millisecond, "45s ": 45 * time.Second,
	} {
		got, err := words.ParseTime(text)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "12", "1:60", "-1:00", "1:2:3:4", "0:00", "NaNs", "1e99h", "a:b", "1.5:00",
		"0s", "1:60:00", "1000001s", "-1s", "100001:00", "1:1.5:00", "s", "5 m", "Infh", " 7 "} {
		got, err := words.ParseTime(text)
		assert.EqualError(t, err, fmt.Sprintf("%q is no time: write it as 12:30, 1:02:30, 45s or 3min",
			strings.TrimSpace(text)))
		assert.Zero(t, got, text)
	}
}

package main

import (
	"bytes"
	"encoding/csv"
	"reflect"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/clock"
	"furrow/path/route"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everyPart is a time whose parts are 1, 2, 4, 8, ... s, in the sequence of the type's
// fields, so that a sum says what is in it.
func everyPart() (p clock.Parts, seconds map[string]time.Duration) {
	v, seconds := reflect.ValueOf(&p).Elem(), map[string]time.Duration{}
	for i := range v.NumField() {
		v.Field(i).SetInt(int64(time.Second << i))
		seconds[v.Type().Field(i).Name] = time.Second << i
	}
	return p, seconds
}

// The columns of the table hold every part of a time once: turning is run-up, run-out
// and steps, travel the way between and what corners cost, delays every wait.
func TestColumnsHoldEveryPartOfATime(t *testing.T) {
	p, s := everyPart()
	assert.Equal(t, s["Overtravel"]+s["Turn"], turning(p))
	assert.Equal(t, s["Travel"]+s["Corner"]+s["Jump"], travelling(p))
	assert.Equal(t, s["JumpDelay"]+s["MarkDelay"]+s["CornerDelay"]+s["Wait"], delays(p))
	assert.Equal(t, p.Total(), p.Mark+turning(p)+travelling(p)+delays(p))
}

// A line of CSV says under each head what the head says.
func TestCSVColumns(t *testing.T) {
	p, s := everyPart()
	w := &work.Work{}
	w.Clock.Parts = p
	table := comparison{Comparison: &better.Comparison{LoadingS: 5000, Machines: []*better.Entry{{
		Machine: "co2", Fits: "yes", Settings: "slate", Tested: "never", Work: w,
		Ranked: &better.Ranked{
			Hours: 6000, EnergyJ: 6001, AbsorbedJ: 6002, MeanPowerW: 6003, DoseJPerCM2: 6004, SpeedMMPerS: 6005,
			Quickest: 6006,
		},
	}}}}
	var b bytes.Buffer
	require.NoError(t, table.writeCSV(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	got := map[string]string{}
	for i, head := range rows[0] {
		got[head] = rows[1][i]
	}
	want := map[string]float64{
		"hours": 6000, "part_s": p.Total().Seconds(), "mark_s": s["Mark"].Seconds(),
		"overtravel_and_turn_s": (s["Overtravel"] + s["Turn"]).Seconds(),
		"travel_s":              (s["Travel"] + s["Corner"] + s["Jump"]).Seconds(),
		"delays_s":              (s["JumpDelay"] + s["MarkDelay"] + s["CornerDelay"] + s["Wait"]).Seconds(),
		"loading_s":             5000, "energy_j": 6001, "absorbed_j": 6002, "mean_power_w": 6003, "dose_j_cm2": 6004,
		"speed_mm_s": 6005, "quickest_mm_s": 6006,
	}
	for head, v := range want {
		assert.InDelta(t, v, number64(t, got[head]), 1e-9, head)
	}
	assert.Equal(t, []string{"co2", "yes", "", "slate", "never"}, rows[1][:5])
}

// 12 s where 10 s is the least are within 20 percent of it.
func TestBoundsPercent(t *testing.T) {
	var b made
	b.Routed.Report = route.Report{Cost: 12, Bound: 10, Iterations: 40}
	got := b.travelBound()
	assert.InDelta(t, 20, got.Percent, 1e-9)
	assert.Equal(t, 12.0, got.Seconds)
	assert.Equal(t, 10.0, got.AtLeastSeconds)
	assert.Contains(t, got.words(), "within 20.0 % of a lower bound")
	assert.Contains(t, got.words(), "40 rounds")
	b.Routed.Bound = 0
	assert.Nil(t, b.travelBound())
}

package swatch

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
)

func found(t *testing.T, machine string) *settings.Machine {
	t.Helper()
	m, err := settings.FindMachine(machine)
	require.NoError(t, err)
	return &m
}

func number(v float64) *value.Number { return value.Given(value.Number(v)) }

func mm(v float64) *value.Length { return value.Given(value.Length(v)) }

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

// plain is a fill of rows at a speed, percent and spacing.
func plain(speed, power, spacing float64) job.Fill {
	return job.Fill{Speed: number(speed), Power: number(power), Spacing: &value.Spacing{MM: spacing}}
}

// withPulses is a fill for the galvo, whose source takes 30 to 100 kHz.
func withPulses(f job.Fill) job.Fill {
	f.Frequency = &value.Frequency{Hz: 50_000}
	return f
}

package swatch

import (
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
)

// powerCard has a column for each percent and a row for each share of it that the source
// may truly give: the speed is such that a patch gets the dose of the reference, in the
// first column at full power, if its row tells the truth.
func powerCard(r Request) ([]Card, error) {
	if err := r.only("power", "power", "share"); err != nil {
		return nil, err
	}
	s, err := r.begin("power", func(*settings.Machine) Axis {
		return axisOf("power", 100, 80, 60, 50, 40, 30, 20, 10)
	}, func(*settings.Machine) Axis {
		return axisOf("share", 130, 115, 100, 90, 80, 70, 60, 50, 40)
	})
	if err != nil {
		return nil, err
	}
	speed, _ := KindOf("speed")
	power, _ := KindOf("power")
	v, _ := speed.Of(s.Fill)
	p, set := power.Of(s.Fill)
	if !set { // begin has asked for the speed
		return nil, fault.Usagef("the card needs a power that marks the material at that speed").
			Hintf("add --power, or --recipe")
	}
	full := min(v*100/p, settings.TopSpeed(s.Machine.Profile)/1.3)
	others := slices.DeleteFunc(s.Columns.Values, func(p float64) bool { return p == 100 })
	s.Columns.Values = append([]float64{100}, others...)
	s.cell = func(f job.Fill, percent, share float64) job.Fill {
		if percent == 100 {
			share = 100 // the reference
		}
		return speed.With(power.With(f, percent), tidied(full*percent/100*share/100))
	}
	s.varied = []string{"speed"}
	s.Remarks = []string{"column A: reference", "read: what looks like A"}
	return Grid(s)
}

func powerReading(f File, name string) []string {
	return []string{
		"Column A is the reference: full power, all patches alike.",
		"In each further column find the patch that looks like column A. The head of its row is the share of the " +
			"percent that the source truly gives.",
		fmt.Sprintf("furrow machines set %s --power-curve 80=SHARE,60=SHARE,... with a pair for each column, "+
			"percent=share", f.Machine),
		"Where all lie in the row of 100, the source follows its percentage: there is nothing to set.",
	}
}

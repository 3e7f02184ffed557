package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// shop is a folder with profiles, each with a recipe for slate.
type shop struct {
	t        *testing.T
	dir      string
	machines []string // files of profiles
	use      []string // MACHINE=RECIPE
}

func newShop(t *testing.T) *shop { return &shop{t: t, dir: t.TempDir()} }

func (s *shop) write(name, text string) string {
	file := filepath.Join(s.dir, name)
	require.NoError(s.t, os.WriteFile(file, []byte(text), 0o644))
	return file
}

func (s *shop) add(p machine.Profile, id string, speed float64) {
	p.ID = id
	text, err := settings.ProfileTOML(p)
	require.NoError(s.t, err)
	s.machines = append(s.machines, s.write(id+".toml", string(text)))
	r := machine.Recipe{Furrow: 1, ID: id + "-slate", Name: "slate", Machine: id, Material: "slate", Purpose: "engrave",
		SpeedMMPerS: speed, PowerPercent: 40, SpacingMM: 0.2}
	if p.Laser.Pulsed() {
		r.FrequencyKHz = 50
	}
	text, err = settings.RecipeTOML(r)
	require.NoError(s.t, err)
	s.use = append(s.use, id+"="+s.write(id+"-slate.toml", string(text)))
}

// gantry is the example gantry without a latency, with equal accelerations.
func gantry(accel float64) machine.Profile {
	p := exampleGantry()
	p.Gantry.AccelMMPerS2 = [2]float64{accel, accel}
	p.Gantry.MaxSpeedMMPerS = [2]float64{1000, 1000}
	p.Gantry.BeamOnLatencyUS, p.Gantry.BeamOffLatencyUS = 0, 0
	return p
}

func (s *shop) compare(widthMM, heightMM float64) *comparison {
	art := s.write("panel.svg", fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm">
<rect width="%gmm" height="%gmm"/></svg>`,
		widthMM, heightMM, widthMM, heightMM))
	c := compareFlags{machines: s.machines, use: s.use}
	t, err := c.compare(&app{stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}, art)
	require.NoError(s.t, err)
	return t
}

// One panel on two gantries with equal accelerations and a galvo: the gantry at
// half the speed never takes twice the time, since its run-ups are shorter; the
// galvo, which has none, takes the least of all at a speed both gantries would
// fall short of. Common practice, no source.
func TestHalfTheSpeedNeverTakesTwiceTheTime(t *testing.T) {
	t.Parallel()
	for _, speed := range []float64{50, 400} {
		for _, width := range []float64{5, 40, 150} {
			s := newShop(t)
			s.add(gantry(900), "slow", speed/2)
			s.add(gantry(900), "fast", speed)
			s.add(machine.Examples()[2], "galvo", 2000)
			got := s.compare(width, 20)
			require.Len(t, got.Machines, 3)
			seconds := map[string]float64{}
			for _, e := range got.Machines {
				seconds[e.Machine] = e.Figures.Seconds
			}
			require.Less(t, seconds["slow"], 2*seconds["fast"], "%g mm at %g mm/s", width, speed)
			require.Equal(t, "galvo", got.Machines[0].Machine)
			if width == 5 && speed == 400 { // where run-ups are nearly all of it, half the speed is quicker
				require.Less(t, seconds["slow"], seconds["fast"])
			}
		}
	}
}

// The beam's energy is its power times the time that it is on: 40 percent of 40 W
// round a panel. A source whose power stays is on for as long as the head slows
// down at corners; one whose power follows the speed puts out the same on every mm.
// The hours are those of all parts, with loading.
func TestEnergyAndHours(t *testing.T) {
	s := newShop(t)
	for id, mode := range map[string]string{"steady": machine.PowerSteady, "following": machine.PowerSpeedFollowing} {
		p, g := gantry(900), *exampleGantry().GCode
		g.PowerMode, p.GCode = mode, &g
		s.add(p, id, 200)
	}
	only := "only"
	c := compareFlags{machines: s.machines, use: s.use}
	c.Fill.Outline = &only
	c.order = job.Order{Quantity: value.Given(value.Quantity(12)), Loading: value.Given(value.Number(30))}
	art := s.write("panel.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm">
<rect width="20mm" height="20mm"/></svg>`)
	got, err := c.compare(&app{stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}, art)
	require.NoError(t, err)
	require.Len(t, got.Machines, 2)
	for _, e := range got.Machines {
		time := e.Figures.Time
		onS := map[string]float64{"steady": time["mark_s"] + time["corner_s"], "following": 4 * 20.0 / 200}[e.Machine]
		require.InEpsilon(t, 0.4*40*onS, e.EnergyJ, 1e-6, e.Machine)
		require.Greater(t, time["corner_s"], 0.1*time["mark_s"], "worth the difference")
		require.InEpsilon(t, e.EnergyJ/e.Figures.Seconds, e.MeanPowerW, 1e-9)
		require.InEpsilon(t, 12*(e.Figures.Seconds+30)/3600, e.Hours, 1e-9)
	}
}

// The speed that compare finds is √((w + 2·margin)·a/2), from setting the
// derivative of (w + 2·margin)/v + 2v/a to 0.
func TestQuickestSpeedInClosedForm(t *testing.T) {
	t.Parallel()
	for _, accel := range []float64{500, 1000, 3000} {
		for _, width := range []float64{20, 76.2, 200} {
			s := newShop(t)
			p := gantry(accel)
			s.add(p, "gantry", 20)
			e := s.compare(width, 20).Machines[0]
			want := math.Sqrt((width + 2*p.Gantry.OvertravelMarginMM) * accel / 2)
			require.Less(t, want, 1000.0, "not clamped")
			require.InEpsilon(t, want, e.Quickest, 0.01)
			require.NotEmpty(t, e.Better)
			var offered float64
			_, err := fmt.Sscanf(e.Better[0].Change, "rows at %f mm/s", &offered)
			require.NoError(t, err, e.Better[0].Change)
			require.InEpsilon(t, want, offered, 0.01)
		}
	}
}

// With the same dose, power follows the speed up to full power and no further.
func TestSameDoseKeepsToThePower(t *testing.T) {
	s := newShop(t)
	s.add(gantry(3000), "gantry", 50)
	c := compareFlags{machines: s.machines, use: s.use, sameDose: true}
	art := s.write("panel.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="20mm">
<rect width="200mm" height="20mm"/></svg>`)
	got, err := c.compare(&app{stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}, art)
	require.NoError(t, err)
	e := got.Machines[0]
	require.Greater(t, e.Quickest, 125.0, "more than 40 percent of full power can follow")
	require.Equal(t, "rows at 125 mm/s instead of 50, power 100 % instead of 40", e.Better[0].Change)
	require.Equal(t, "same dose", e.Better[0].Drawback)
}

package job_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// What a job lacks is told at once, whatever of it is missing: machine, settings, recipe.
func TestEverythingThatIsMissingIsTold(t *testing.T) {
	resolve := func(j job.Job, drawing bool) error {
		j.Furrow = 1
		_, err := job.Resolve(j, job.Request{}, drawing)
		require.Error(t, err)
		return err
	}
	said := resolve(job.Job{Machine: "nowhere"}, false).Error()
	require.Contains(t, said, `unknown machine "nowhere"`)
	require.Contains(t, said, "no spacing, speed or power")
	said = resolve(job.Job{Machine: "nowhere", Fill: full(100)}, false).Error()
	require.NotContains(t, said, "no spacing")
	said = resolve(job.Job{Machine: "nowhere", Recipe: "nosuch"}, false).Error()
	require.Contains(t, said, `unknown machine "nowhere"`)
	require.Contains(t, said, `unknown recipe "nosuch"`)
	require.NotContains(t, said, "no spacing", "the recipe may have it")
	require.NotContains(t, resolve(job.Job{Machine: "nowhere"}, true).Error(), "no spacing",
		"to be drawn it needs none")
	require.EqualError(t, resolve(job.Job{Recipe: "nosuch"}, false), `unknown recipe "nosuch"`)
	require.EqualError(t, resolve(job.Job{Recipe: "nosuch", Machine: "example-co2"}, false), `unknown recipe "nosuch"`)
	message, hint := refused(t, resolve(job.Job{Fill: full(100)}, false))
	require.Equal(t, "no machine named", message)
	require.Equal(t, "add --machine ID (furrow machines lists them)", hint)
	only := "only"
	message, hint = refused(t, resolve(job.Job{Fill: job.Fill{Outline: &only, Power: number(1)}}, false))
	require.Equal(t, "no machine and speed", message)
	require.Contains(t, hint, "; prove them on scrap first")
	message, _ = refused(t, resolve(job.Job{Machine: " example-co2 ", Fill: job.Fill{Speed: number(1)}}, false))
	require.Equal(t, "no spacing or power", message)
}

// What the whole lacks is told once; a group that lacks something else is named.
func TestGroupsThatLackSomething(t *testing.T) {
	j := job.Job{Furrow: 1, Machine: "example-co2", Fill: job.Fill{Speed: number(1), Power: number(1)},
		Groups: []job.Group{{Pick: "#a"}, {Pick: "#b", Fill: job.Fill{Spacing: spacing(1)}}}}
	_, err := job.Resolve(j, job.Request{}, false)
	require.EqualError(t, err, "no spacing")
	only := "only"
	j.Fill.Outline = &only
	none := "none"
	j.Groups[0].Fill.Outline = &none
	_, err = job.Resolve(j, job.Request{}, false)
	require.EqualError(t, err, `no spacing for group "#a"`)
	require.Equal(t, []string{"#a", "#b"}, j.Picks())
	require.Empty(t, job.Job{}.Picks())
}

// Recipes for the material on machines of the same light are alike: within a tenth of the
// wavelength, and pulsed or not.
func TestRecipesThatAreAlike(t *testing.T) {
	home := t.TempDir()
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		t.Setenv(name, home)
	}
	folder, err := settings.Folder("machines")
	require.NoError(t, err)
	write := func(kind, id string, text []byte, err error) {
		t.Helper()
		require.NoError(t, err)
		dir := filepath.Join(filepath.Dir(folder), kind)
		require.NoError(t, os.MkdirAll(dir, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, id+".toml"), text, 0o600))
	}
	add := func(id string, example int, nm float64, pulsed bool) {
		p := machine.Examples()[example]
		p.ID, p.Laser.WavelengthNM = id, nm
		if !pulsed {
			p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ = nil, 0, 0
		}
		text, err := settings.ProfileTOML(p)
		write("machines", id, text, err)
		r := machine.ExampleRecipes()[0]
		r.ID, r.Name, r.Machine, r.Material, r.SpeedMMPerS = "r-"+id, id, id, "Black  slate", 100
		if pulsed {
			r.FrequencyKHz = 50
		}
		text, err = settings.RecipeTOML(r)
		write("recipes", r.ID, text, err)
	}
	add("near", 0, 9540.5, false)
	add("far", 0, 9539.5, false)
	add("pulsed", 2, 10_600, true)
	alike := func(j job.Job) (ids []string) {
		j.Furrow, j.Fill = 1, full(100)
		r, err := job.Resolve(j, job.Request{}, false)
		require.NoError(t, err)
		for _, a := range r.Alike {
			require.Equal(t, a.Recipe.Machine, a.Machine.ID)
			ids = append(ids, a.Recipe.ID)
		}
		return ids
	}
	require.Equal(t, []string{"r-near"}, alike(job.Job{Machine: "example-co2",
		Blank: job.Blank{Material: "black slate"}}))
	require.Equal(t, []string{"r-far", "r-near"}, alike(job.Job{Recipe: "r-far", Blank: job.Blank{Material: "oak"}}),
		"the recipe's material, and itself once")
	require.Empty(t, alike(job.Job{Machine: "example-co2"}))
	require.Equal(t, []string{"example-co2-birch"},
		alike(job.Job{Machine: "example-co2", Blank: job.Blank{Material: "Birch plywood"}}))
	r, err := job.Resolve(job.Job{Furrow: 1, Fill: full(1), Blank: job.Blank{Material: "black slate"}},
		job.Request{}, true)
	require.NoError(t, err)
	require.Empty(t, r.Alike, "no machine")
}

// What an order's command line says goes over its job.
func TestOrderThatIsAskedFor(t *testing.T) {
	a, b, q, n := "a", "b", value.Quantity(3), value.Number(20)
	due := value.Date{Year: 2026, Month: 12, Day: 18}
	require.Equal(t, &due, job.Order{Due: &due}.Over(job.Order{}).Due)
	base := job.Order{Name: &a, Customer: &a}
	require.Equal(t, job.Order{Name: &b, Customer: &a, Quantity: &q, Loading: &n},
		job.Order{Name: &b, Customer: &b, Quantity: &q, Loading: &n}.Over(base))
	require.Equal(t, base, job.Order{}.Over(base))
	w := value.Length(20)
	require.Equal(t, path.Point{X: 20}, job.Blank{Width: &w}.Size())
	require.Equal(t, path.Point{Y: 20}, job.Blank{Height: &w}.Size())
	require.True(t, job.ValueOf("speed_mm_s").InRecipe())
	require.False(t, job.ValueOf("overlap").InRecipe())
	require.Equal(t, job.Value{}, job.ValueOf("nothing"))
	require.Equal(t, []bool{true, true, true, true, false}, []bool{job.Differing{Texts: make([]job.Text, 1)}.Any(),
		job.Differing{Codes: make([]job.Code, 1)}.Any(),
		job.Fixture{Pockets: "a.csv"}.Given(), job.Fixture{Rows: value.Given(value.Count(1))}.Given(),
		job.Fixture{}.Given()})
}

// The ranges that job files keep to, which are a contract: what stands at their ends is
// taken, and what lies beyond is refused by its key.
func TestRangesOfJobFiles(t *testing.T) {
	for key, r := range map[string][2]string{
		"fill.angle": {"-3600", "3600"}, "fill.cross": {"-3600", "3600"}, "fill.pass_turn": {"-3600", "3600"},
		"fill.shortest":   {"0", "1000"},
		"fill.close_gaps": {"0", "1000"}, "fill.inset": {"0", "1000"}, "fill.mark_width": {"0.001", "10"},
		"fill.focus_offset": {"-100", "100"},
		"fill.speed_mm_s":   {"0.01", "1000000"}, "fill.power_percent": {"0.01", "100"},
		"fill.pulse_ns": {"1", "10000000"}, "fill.offset": {"-100", "100"},
		"fill.overlap": {"0", "100"}, "fill.outline_speed_mm_s": {"0.01", "1000000"},
		"fill.outline_power_percent": {"0.01", "100"},
		"tolerance":                  {"0.0001", "10"}, "pause_at_k": {"0.1", "5000"}, "artwork.margin": {"0", "10000"},
		"artwork.bare_above": {"0.01", "2"},
		"artwork.width":      {"0.001", "100000"}, "artwork.height": {"0.001", "100000"},
		"artwork.rotate": {"-360", "360"}, "order.loading_s": {"0", "86400"},
		"blank.width": {"0.001", "100000"}, "blank.height": {"0.001", "100000"}, "blank.thickness": {"0.001", "10000"},
		"blank.bleed":  {"0", "1000"},
		"fixture.turn": {"-360", "360"},
	} {
		for i, end := range r {
			parse := func(v string) error {
				table, name, in := strings.Cut(key, ".")
				text := fmt.Sprintf("[%s]\n%s = %s\n", table, name, v)
				if !in {
					text = key + " = " + v + "\n"
				}
				if table == "fixture" {
					text += "columns = 1\n"
				}
				head := "furrow = 1\nartwork.file = \"a.svg\"\n"
				if table == "artwork" {
					head, text = "furrow = 1\n", text+"file = \"a.svg\"\n"
				}
				_, err := job.Parse("job.toml", []byte(head+text))
				return err
			}
			require.NoError(t, parse(end), "%s = %s", key, end)
			var v float64
			_, err := fmt.Sscan(end, &v)
			require.NoError(t, err)
			step := max(1e-6, 1e-4*max(v, -v))
			beyond := fmt.Sprintf("%.7f", v+step*float64(2*i-1))
			require.ErrorContains(t, parse(beyond), key+": ", "%s = %s", key, beyond)
			require.ErrorContains(t, parse(beyond), "is out of range", "%s = %s", key, beyond)
		}
	}
	for at, ok := range map[string]bool{"-100000,100000": true, "100001,0": false, "0,-100001": false} {
		_, err := job.Parse("job.toml", []byte("furrow = 1\n[artwork]\nfile = \"a.svg\"\nat = \""+at+"\"\n"))
		require.Equal(t, ok, err == nil, at)
	}
	for key, r := range map[string][2]string{"room": {"0.001", "100000"}, "squeeze": {"1", "100"},
		"shrink": {"1", "100"}} {
		for v, ok := range map[string]bool{r[0]: true, r[1]: true, "0.0001": false, "100001": false} {
			_, err := job.Parse("job.toml", []byte("furrow = 1\nartwork.file = \"a.svg\"\n"+
				"[[text]]\npick = \"#a\"\nvalue = \"b\"\n"+key+" = "+v+"\n"))
			require.Equal(t, ok, err == nil, "%s = %s: %v", key, v, err)
		}
	}
}

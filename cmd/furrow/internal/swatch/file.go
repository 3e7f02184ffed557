package swatch

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/pelletier/go-toml/v2"
)

// File tells what each patch of a card is. It stands beside the machine's file.
type File struct {
	Furrow   int         `toml:"furrow"`
	Card     string      `toml:"card"`
	Machine  string      `toml:"machine"`
	Profile  string      `toml:"profile_hash"`
	Material string      `toml:"material,omitempty"`
	Recipe   string      `toml:"recipe,omitempty" comment:"that the values are of which the card does not vary"`
	Date     string      `toml:"date,omitempty"`
	Columns  *AxisRecord `toml:"columns,omitempty"`
	Rows     *AxisRecord `toml:"rows,omitempty"`
	Letters  Marking     `toml:"letters" comment:"how the lettering is marked"`
	Patches  []Record    `toml:"patch"`
}

// AxisRecord is what the columns or the rows vary.
type AxisRecord struct {
	Setting string    `toml:"setting"`
	Unit    string    `toml:"unit"`
	Ratios  bool      `toml:"ratios,omitempty" comment:"true: by equal ratios"`
	Values  []float64 `toml:"values"`
}

// Record is a patch: where it lies on the machine, how it is marked, and what that lays
// down.
type Record struct {
	Name  string     `toml:"name"`
	File  string     `toml:"file"`
	Turn  int        `toml:"turn"`
	Shows string     `toml:"shows,omitempty"`
	BoxMM [4]float64 `toml:"box_mm"`
	Marking
	DoseJPerCM2   float64 `toml:"dose_j_cm2"`
	MeanPowerW    float64 `toml:"mean_power_w"`
	PulsesPerMM   float64 `toml:"pulses_per_mm,omitempty"`
	PulseOverlap  float64 `toml:"pulse_overlap,omitempty"`
	PulseEnergyMJ float64 `toml:"pulse_energy_mj,omitempty"`
	EnergyJ       float64 `toml:"energy_j"`
}

// Marking is how something is marked: the keys are those of a recipe.
type Marking struct {
	SpeedMMPerS     float64   `toml:"speed_mm_s"`
	PowerPercent    float64   `toml:"power_percent"`
	FrequencyKHz    float64   `toml:"frequency_khz,omitempty"`
	PulseNS         float64   `toml:"pulse_ns,omitempty"`
	SpacingMM       float64   `toml:"spacing_mm,omitempty"`
	AnglesDegrees   []float64 `toml:"angles_degrees,omitempty"`
	CrossDegrees    float64   `toml:"cross_degrees,omitempty"`
	Passes          int       `toml:"passes,omitempty"`
	PassTurnDegrees float64   `toml:"pass_turn_degrees,omitempty"`
	OneWay          bool      `toml:"one_way,omitempty"`
	Outline         string    `toml:"outline,omitempty"`
	MarkWidthMM     float64   `toml:"mark_width_mm,omitempty"`
	FocusOffsetMM   float64   `toml:"focus_offset_mm,omitempty"`
	Air             bool      `toml:"air,omitempty"`
}

// MarkingOf returns a fill by the keys of a recipe.
func MarkingOf(f job.Fill) (m Marking) {
	var r machine.Recipe
	job.SetRecipe(&r, f)
	copyKeys(reflect.ValueOf(&m).Elem(), reflect.ValueOf(r))
	return m
}

// Fill returns the fill of a marking.
func (m Marking) Fill() job.Fill {
	var r machine.Recipe
	copyKeys(reflect.ValueOf(&r).Elem(), reflect.ValueOf(m))
	return job.RecipeFill(r)
}

// copyKeys copies the keys that both structs have.
func copyKeys(to, from reflect.Value) {
	have := map[string]reflect.Value{}
	for _, f := range settings.FieldsOf(from) {
		have[f.Key] = f.Value
	}
	for _, f := range settings.FieldsOf(to) {
		if v, ok := have[f.Key]; ok && v.Type() == f.Value.Type() {
			f.Value.Set(v)
		}
	}
}

// FileOf returns what is told of cards that belong together. names are their files.
func FileOf(cards []Made, names []string) File {
	s := cards[0].Spec
	f := File{
		Furrow: 1, Card: s.Kind, Machine: s.Machine.ID, Profile: s.Machine.Hash(), Material: s.Material,
		Recipe: s.Recipe,
		Date:   s.Date, Columns: axisRecord(s.Columns), Rows: axisRecord(s.Rows), Letters: MarkingOf(s.Letters),
	}
	for i, c := range cards {
		for turn, p := range c.Marked {
			f.Patches = append(f.Patches, c.record(p, names[i], turn+1))
		}
	}
	return f
}

func axisRecord(a Axis) *AxisRecord {
	if !a.Given() {
		return nil
	}
	return &AxisRecord{Setting: a.Kind.Word, Unit: a.Kind.Unit, Ratios: a.Ratios, Values: a.Values}
}

func (c Made) record(p Patch, file string, turn int) Record {
	f := p.Facts(c.Spec.Machine)
	return Record{
		Name: p.Name, File: file, Turn: turn, Shows: p.Shows,
		BoxMM:   [4]float64{tidied(p.Box.Min.X), tidied(p.Box.Min.Y), tidied(p.Box.Max.X), tidied(p.Box.Max.Y)},
		Marking: MarkingOf(p.Fill), DoseJPerCM2: f.DoseJPerCM2, MeanPowerW: f.MeanPowerW, PulsesPerMM: f.PerMM,
		PulseOverlap: f.Overlap, PulseEnergyMJ: f.EnergyMJ, EnergyJ: tidied(c.Energy[p.Name]),
	}
}

// Encode writes the file.
func (f File) Encode(w io.Writer) error {
	const head = "# What each patch of a card is. From it a recipe is made:\n" +
		"# furrow recipes save NAME --from THIS.toml --patch C4\n" +
		"# Of a patch: turn is its place in the sequence of its file, box_mm its left, bottom, right and\n" +
		"# top on the machine, pulse_overlap a fraction of the spot, energy_j what the beam puts out.\n\n"
	if _, err := io.WriteString(w, head); err != nil {
		return err
	}
	return toml.NewEncoder(w).SetTablesInline(false).Encode(f)
}

// Read reads a file of patches.
func Read(name string, data []byte) (File, error) {
	var f File
	if err := settings.Decode(name, data, &f); err != nil {
		return File{}, err
	}
	wrong := func(key, format string, args ...any) error {
		return fault.Usagef("%s: %s", settings.At(name, data, key), fmt.Sprintf(format, args...))
	}
	switch {
	case f.Furrow != 1:
		return File{}, wrong("furrow", "version %d of a card's file is not known: write furrow = 1", f.Furrow)
	case len(f.Patches) == 0:
		return File{}, wrong("patch", "the card has no patch")
	}
	for _, key := range []string{"columns", "rows"} {
		if problem := f.axisProblem(key); problem != "" {
			return File{}, wrong(key+".setting", "%s", problem)
		}
	}
	seen := map[string]bool{}
	for i, p := range f.Patches {
		if seen[p.Name] {
			return File{}, wrong(fmt.Sprintf("patch[%d].name", i), "patch %s stands there twice", p.Name)
		}
		seen[p.Name] = true
	}
	return f, nil
}

func (f File) axisProblem(key string) string {
	r := f.Columns
	if key == "rows" {
		r = f.Rows
	}
	if r == nil {
		return ""
	}
	if _, err := KindOf(r.Setting); err != nil {
		return err.Error()
	}
	return ""
}

// axis returns what a record varies; an axis of no kind for none.
func (r *AxisRecord) axis() Axis {
	if r == nil {
		return Axis{}
	}
	kind, _ := KindOf(r.Setting) // Read has seen it
	return Axis{Kind: kind, Ratios: r.Ratios, Values: r.Values}
}

// Patch returns a patch by its name, in capitals or not.
func (f File) Patch(name string) (Record, error) {
	var names []string
	for _, p := range f.Patches {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
		names = append(names, p.Name)
	}
	slices.Sort(names)
	return Record{}, fault.Usagef("the card has no patch %q", name).Hintf("it has %s", list(names))
}

// Rect is where the patch lies.
func (r Record) Rect() path.Rect {
	b := r.BoxMM
	return path.Rect{Min: path.Point{X: b[0], Y: b[1]}, Max: path.Point{X: b[2], Y: b[3]}}
}

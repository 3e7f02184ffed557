package job

import (
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/quote"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"
)

// Job is an order's work as a job file holds it. Paths in it are relative to
// the file.
type Job struct {
	Furrow    int             `toml:"furrow" comment:"file format version"`
	Machine   string          `toml:"machine,omitempty" comment:"machine profile: an ID or a file"`
	Recipe    string          `toml:"recipe,omitempty"`
	Tolerance *value.Length   `toml:"tolerance"`
	Effort    *string         `toml:"effort"`
	Spread    *bool           `toml:"spread"`
	PauseAt   *value.Number   `toml:"pause_at_k"`
	Order     Order           `toml:"order" comment:"what the customer wants"`
	Blank     Blank           `toml:"blank" comment:"the part before it is marked"`
	Artwork   Artwork         `toml:"artwork"`
	Fill      Fill            `toml:"fill" comment:"how everything is filled that no group picks"`
	KeepOut   []machine.Clamp `toml:"keep_out,omitempty"`
	Fixture   Fixture         `toml:"fixture" comment:"where the blanks of a load sit; left out: one blank"`
	Price     quote.Rates     `toml:"price" comment:"what is another price for this order than in rates.toml"`
	Groups    []Group         `toml:"group"`
	Differing

	Name string `toml:"-"` // of the file, empty for bare artwork
	Data []byte `toml:"-"` // what the file holds
}

// Group is shapes of the artwork with a fill of their own. What it leaves out is as in [fill].
type Group struct {
	Pick string `toml:"pick" comment:"colour, id, class or layer name, as a CSS selector"`
	Fill
}

// Parse reads a job file. Names of files in it become relative to the working folder.
func Parse(name string, data []byte) (Job, error) {
	j := Job{Name: name, Data: data}
	if err := settings.Decode(name, data, &j); err != nil {
		return Job{}, fault.All(err, settings.Refused(name, data, j.wrongWords()...))
	}
	if err := settings.Refused(name, data, j.problems()...); err != nil {
		return Job{}, err
	}
	j.Artwork.File = relativeTo(name, j.Artwork.File)
	if j.Table.File != "" {
		j.Table.File = relativeTo(name, j.Table.File)
	}
	if j.Fixture.Pockets != "" {
		j.Fixture.Pockets = relativeTo(name, j.Fixture.Pockets)
	}
	for i, dir := range j.Artwork.Fonts {
		j.Artwork.Fonts[i] = relativeTo(name, dir)
	}
	for _, ref := range []*string{&j.Machine, &j.Recipe} {
		if strings.HasSuffix(*ref, ".toml") {
			*ref = relativeTo(name, *ref)
		}
	}
	return j, nil
}

// problems lists what is wrong with the values of a job.
func (j Job) problems() (all []*settings.KeyProblem) {
	if j.Furrow != 1 {
		return []*settings.KeyProblem{{Key: "furrow",
			Problem: fmt.Sprintf("version %d of the job file is not known: write furrow = 1", j.Furrow)}}
	}
	if p := j.tooMany(); p != nil {
		return []*settings.KeyProblem{p}
	}
	if j.Artwork.File == "" {
		all = append(all, &settings.KeyProblem{Key: "artwork.file", Problem: "no artwork named"})
	}
	for _, k := range j.KeepOut {
		if !k.Ordered() {
			all = append(all, &settings.KeyProblem{Key: "keep_out",
				Problem: fmt.Sprintf("%g is not left, bottom, right, top", k)})
			break
		}
	}
	all = append(all, j.Blank.problems()...)
	all = append(all, settings.CheckValues(reflect.ValueOf(j), "")...)
	for i, p := range j.Groups {
		if p.Pick == "" {
			all = append(all, &settings.KeyProblem{Key: fmt.Sprintf("group[%d].pick", i),
				Problem: "a group picks nothing: name a colour, id, class or layer"})
		}
	}
	if p := j.Price.Problem(); p != nil {
		all = append(all, &settings.KeyProblem{Key: "price." + p.Key, Problem: p.Problem})
	}
	return append(append(all, j.Fixture.problem(), j.Differing.problem()), j.wrongWords()...)
}

// mostTables is as many tables of one name as a job may have: what each picks is held
// against what all others pick.
const mostTables = 1000

// tooMany tells of a list without end.
func (j Job) tooMany() *settings.KeyProblem {
	for _, l := range []struct {
		key string
		n   int
	}{{"group", len(j.Groups)}, {"text", len(j.Texts)}, {"code", len(j.Codes)}, {"counter", len(j.Counters)},
		{"keep_out", len(j.KeepOut)}} {
		if l.n > mostTables {
			return &settings.KeyProblem{Key: l.key,
				Problem: fmt.Sprintf("%d are too many: %d is the most", l.n, mostTables)}
		}
	}
	return nil
}

// wrongWords lists the values that are none of the words that their keys take.
func (j Job) wrongWords() []*settings.KeyProblem {
	all := []*settings.KeyProblem{checkWord("artwork.mirror", j.Artwork.Mirror, MirrorWords),
		checkWord("blank.lies_on", j.Blank.LiesOn, LiesOnWords),
		checkWord("blank.shape", j.Blank.Shape, ShapeWords), checkWord("effort", j.Effort, EffortWords),
		checkWord("fill.outline", j.Fill.Outline, outlineWords)}
	for i, p := range j.Groups {
		all = append(all, checkWord(fmt.Sprintf("group[%d].outline", i), p.Outline, outlineWords))
	}
	return all
}

// checkWord refuses a word that is not known, if one is given.
func checkWord(key string, word *string, known []string) *settings.KeyProblem {
	if word == nil || slices.Contains(known, *word) {
		return nil
	}
	return &settings.KeyProblem{Key: key, Problem: fmt.Sprintf("%q is none of %s", *word, strings.Join(known, ", "))}
}

// relativeTo returns a name that stands in a job file, written with / or \ on
// either platform.
func relativeTo(jobFile, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(jobFile), filepath.FromSlash(strings.ReplaceAll(name, `\`, "/")))
}

// Picks lists the selectors of the groups.
func (j Job) Picks() []string {
	var s []string
	for _, p := range j.Groups {
		s = append(s, p.Pick)
	}
	return s
}

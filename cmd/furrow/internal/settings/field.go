package settings

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/emit"
	"furrow/path"
)

// FieldHint says what to do about work that leaves a galvo's field, and names the
// galvos whose field would do.
func FieldHint(fe *emit.FieldError) string {
	if asIs, _ := fe.FitsIn(fe.Field); asIs {
		return fe.Hint()
	}
	all, err := AllMachines()
	if err != nil {
		return fe.Hint() // whose error another command tells
	}
	if wider := fieldsFor(fe, all); len(wider) > 0 {
		return fe.Hint() + "; machines whose field holds it: " + strings.Join(wider, ", ")
	}
	return fe.Hint() + "; no other galvo that furrow knows has a field that holds it"
}

// fieldsFor lists the galvos other than the one that refused the work in whose
// field it fits, the smallest field first.
func fieldsFor(fe *emit.FieldError, all []Machine) []string {
	all = slices.DeleteFunc(slices.Clone(all), func(m Machine) bool { return !m.IsGalvo() || m.ID == fe.Machine })
	slices.SortStableFunc(all, func(a, b Machine) int {
		return cmp.Compare(area(a.Galvo.FieldMM), area(b.Galvo.FieldMM))
	})
	var fit []string
	for _, m := range all {
		name := fmt.Sprintf("%s (%g x %g mm)", m.ID, m.Galvo.FieldMM[0], m.Galvo.FieldMM[1])
		switch asIs, turned := fe.FitsIn(path.Point{X: m.Galvo.FieldMM[0], Y: m.Galvo.FieldMM[1]}); {
		case asIs:
			fit = append(fit, name)
		case turned:
			fit = append(fit, name+" turned by 90 degrees")
		}
	}
	return fit
}

func area(size [2]float64) float64 { return size[0] * size[1] }

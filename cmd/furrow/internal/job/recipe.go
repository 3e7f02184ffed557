package job

import (
	"reflect"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"
)

// RecipeFill returns the values of a fill that a recipe gives: what it leaves out is 0
// there, and nil here.
func RecipeFill(r machine.Recipe) (f Fill) {
	given, fields := recipeFields(&r), FieldsOf(&f)
	for _, v := range Values {
		if from := given[v.recipe]; v.recipe != "" && !from.IsZero() {
			to := reflect.New(fields[v.Key].Type().Elem())
			convert(inner(to.Elem()), from, v.unit())
			fields[v.Key].Set(to)
		}
	}
	return f
}

// SetRecipe is RecipeFill the other way.
func SetRecipe(r *machine.Recipe, f Fill) {
	given, fields := recipeFields(r), FieldsOf(&f)
	for _, v := range Values {
		if v.recipe == "" {
			continue
		}
		given[v.recipe].SetZero()
		if from := fields[v.Key]; !from.IsNil() {
			convert(given[v.recipe], inner(from.Elem()), 1/v.unit())
		}
	}
}

func recipeFields(r *machine.Recipe) map[string]reflect.Value {
	fields := map[string]reflect.Value{}
	for _, k := range settings.FieldsOf(reflect.ValueOf(r).Elem()) {
		fields[k.Key] = k.Value
	}
	return fields
}

// unit is what one of a recipe's unit is in that of the fill.
func (v Value) unit() float64 {
	if v.perUnit == 0 {
		return 1
	}
	return v.perUnit
}

// inner returns the number of a value that keeps it in a struct, so that none is
// written without its unit.
func inner(v reflect.Value) reflect.Value {
	if v.Kind() == reflect.Struct {
		return v.Field(0)
	}
	return v
}

// convert fills in a value from one of the same kind; a number is taken times scale.
func convert(to, from reflect.Value, scale float64) {
	if to.Kind() == reflect.Float64 {
		to.SetFloat(from.Float() * scale)
		return
	}
	to.Set(from.Convert(to.Type()))
}

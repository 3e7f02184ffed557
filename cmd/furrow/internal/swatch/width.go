package swatch

import (
	"fmt"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
)

// widthCard has lines whose spacing falls from column to column, along X and along Y.
func widthCard(r Request) ([]Card, error) {
	if err := r.only("width", "spacing", "angle"); err != nil {
		return nil, err
	}
	spacing := value.Spacing{MM: 1} // which the columns vary
	r.Fill.Spacing = value.First(r.Fill.Spacing, &spacing)
	s, err := r.begin("width", func(m *settings.Machine) Axis {
		spot := max(m.Laser.SpotMM[0], m.Laser.SpotMM[1])
		k, _ := KindOf("spacing")
		a := Axis{Kind: k, Ratios: true, from: 3 * spot, to: 0.4 * spot}
		a.Values = a.spread(10)
		return a
	}, bothWays)
	if err != nil {
		return nil, err
	}
	s.Fill = single(s.Fill)
	s.Remarks = []string{"read: where bare gaps end"}
	return Grid(s)
}

func widthReading(f File, name string) []string {
	return []string{
		"Under a loupe, in each row: find the widest spacing at which no bare material shows between the lines.",
		"That spacing, from the head of its column, is the width of a mark: in the row of 0 degrees across Y, in " +
			"that " +
			"of 90 across X.",
		fmt.Sprintf("In the recipe: furrow recipes save NAME --recipe NAME --mark-width WIDTH --force%s", ofRecipe(f)),
		fmt.Sprintf("In the profile: furrow machines set %s spot_mm=X,Y with the widths across X and across Y, of the "+
			"weakest power that still marks.", f.Machine),
	}
}

func ofRecipe(f File) string {
	if f.Recipe == "" {
		return ""
	}
	return " (the card is of " + f.Recipe + ")"
}

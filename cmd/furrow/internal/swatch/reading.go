package swatch

import "fmt"

// Reading says what to do with a card of patches once it is marked.
func Reading(f File, name string) []string {
	example := f.Patches[len(f.Patches)/2].Name
	return []string{
		"Look at the patches in the light in which the work will be seen, and choose one.",
		fmt.Sprintf("Keep it as a recipe: furrow recipes save NAME --from %s --patch %s", name, example),
		fmt.Sprintf("Or look closer, between its neighbours: furrow swatch --finer %s --from %s -o FINER",
			example, name),
	}
}

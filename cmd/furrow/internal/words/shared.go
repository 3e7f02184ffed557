package words

// Shared is a line that is true of some parts of the work.
type Shared struct {
	Text  string
	Names []string
}

// Share adds a part to the line that says the same, or a line of its own.
func Share(all []Shared, name, text string) []Shared {
	for i := range all {
		if all[i].Text == text {
			all[i].Names = append(all[i].Names, name)
			return all
		}
	}
	return append(all, Shared{Text: text, Names: []string{name}})
}

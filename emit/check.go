package emit

// Check returns an error if the moves leave what the machine reaches.
func Check(m Moves, p Profile) error {
	if p.Kind == KindGalvo && p.Galvo != nil {
		return checkField(m, p)
	}
	return nil
}

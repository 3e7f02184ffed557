package paper

// Pages returns the number of pages so far.
func (d *Document) Pages() int { return len(d.pages) }

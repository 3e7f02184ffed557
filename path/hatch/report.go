package hatch

// Report is what Fill did.
type Report struct {
	Rows  int // with at least one span
	Spans int
	Lines int // outlines and centre lines
}

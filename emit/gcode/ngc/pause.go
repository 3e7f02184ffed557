package ngc

// Pause is a stand-still that a line asks for: a dwell, or a stop until the operator
// goes on.
type Pause struct {
	Stop bool
	P    float64 // of a dwell: seconds, by the standard
}

// Pauses returns those of a line, in the sequence in which they are carried out (Table
// 8): a dwell (G4) before a stop (M0, M1, M60).
func (l *Line) Pauses() (all []Pause) {
	var dwell, stop bool
	p := 0.0
	for _, w := range l.Words {
		switch code, err := w.code(); {
		case err != nil:
		case w.Letter == 'P':
			p = w.Value
		case w.Letter == 'G':
			dwell = dwell || code == 40
		case w.Letter == 'M':
			stop = stop || code == 0 || code == 1 || code == 60
		}
	}
	if dwell {
		all = append(all, Pause{P: p})
	}
	if stop {
		all = append(all, Pause{Stop: true})
	}
	return all
}

// code returns that of a G or M word.
func (w Word) code() (int, error) {
	switch w.Letter {
	case 'G':
		return w.GCode()
	case 'M':
		return w.MCode()
	}
	return 0, nil
}

package markvec

import "io"

// Problems reads a list to its end and returns what the form allows and a
// player should still never be given: a vector or jump of no length, and a
// setting that nothing uses. At most most are returned. A list that breaks the
// form is an error.
func Problems(r io.Reader, most int) ([]FormError, error) {
	d, err := NewReader(r)
	if err != nil {
		return nil, err
	}
	p := problems{most: most}
	for {
		rec, err := d.Next()
		if err == io.EOF {
			p.unused()
			return p.found, nil
		}
		if err != nil {
			return nil, err
		}
		p.record(&rec)
	}
}

type problems struct {
	most    int
	found   []FormError
	x, y    int32
	started bool
	setting uint16 // in force
	lines   []int  // of each setting, 0 once it is used
}

func (p *problems) record(rec *Record) {
	switch rec.Op {
	case Setting:
		p.lines = append(p.lines, rec.Line)
	case Use:
		p.setting = rec.N
	case Dot:
		p.lines[p.setting] = 0
	case Jump, Mark, Move, Guide:
		p.lines[p.setting] = 0
		if p.started && rec.X == p.x && rec.Y == p.y {
			p.add(rec.Line, "a move of no length")
		}
		p.x, p.y, p.started = rec.X, rec.Y, true
	}
}

func (p *problems) unused() {
	for _, line := range p.lines {
		if line > 0 {
			p.add(line, "nothing uses this setting")
		}
	}
}

func (p *problems) add(line int, msg string) {
	if len(p.found) < p.most {
		p.found = append(p.found, FormError{line, msg})
	}
}

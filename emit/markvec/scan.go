package markvec

// scan takes words off the front of a line.
type scan struct{ rest []byte }

// word takes w, which must be followed by a space.
func (s *scan) word(w string) bool {
	if len(s.rest) <= len(w) || string(s.rest[:len(w)]) != w || s.rest[len(w)] != ' ' {
		return false
	}
	s.rest = s.rest[len(w):]
	return true
}

// key takes a space and the word k.
func (s *scan) key(k string) bool {
	if len(s.rest) == 0 || s.rest[0] != ' ' {
		return false
	}
	t := scan{s.rest[1:]}
	ok := t.word(k)
	if ok {
		*s = t
	}
	return ok
}

// number takes a space and a whole number from least to most: at most nine
// digits, no leading zero, no plus, no -0.
func (s *scan) number(v *int32, least, most int32) bool {
	b := s.rest
	if len(b) < 2 || b[0] != ' ' {
		return false
	}
	i, neg := 1, b[1] == '-'
	if neg {
		i = 2
	}
	first, n := i, int32(0)
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		if i-first == 9 {
			return false
		}
		n = n*10 + int32(b[i]-'0')
	}
	if i == first || b[first] == '0' && (i-first > 1 || neg) {
		return false
	}
	if neg {
		n = -n
	}
	*v, s.rest = n, b[i:]
	return n >= least && n <= most
}

func (s *scan) done() bool { return len(s.rest) == 0 }

package heat

// sweep solves T[i] - r·(T[i-1] - 2·T[i] + T[i+1]) = kept·old for a line of cells whose
// ends let nothing through (Thomas' algorithm, its factors made once).
type sweep struct {
	share []float64 // of the old value: kept over the pivot
	near  []float64 // of the neighbour: r over the pivot
}

func newSweep(n int, r, kept float64) sweep {
	s := sweep{share: make([]float64, n), near: make([]float64, n)}
	before := 0.0
	for i := range n {
		d := 1 + 2*r
		if i == 0 || i == n-1 {
			d = 1 + r
		}
		if n == 1 {
			d = 1
		}
		pivot := d - r*before
		s.share[i], s.near[i] = kept/pivot, r/pivot
		before = s.near[i]
	}
	return s
}

// rows works on the rows of a grid, nx cells each, in place. Each cell waits for the one
// before it, so four rows at a time take little longer than one.
func (s sweep) rows(t []float64, nx int) {
	for ; len(t) >= 4*nx; t = t[4*nx:] {
		s.four(t[:nx], t[nx:2*nx], t[2*nx:3*nx], t[3*nx:4*nx])
	}
	for ; len(t) >= nx; t = t[nx:] {
		s.columns(t[:nx], 1)
	}
}

// four works on four rows. The conversions keep a processor that multiplies and adds at
// once from rounding otherwise than the others.
func (s sweep) four(a, b, c, d []float64) {
	n := len(a)
	b, c, d = b[:n], c[:n], d[:n]
	share, near := s.share[:n], s.near[:n]
	var la, lb, lc, ld float64
	for i := range n {
		f, r := share[i], near[i]
		la = float64(a[i]*f) + float64(la*r)
		lb = float64(b[i]*f) + float64(lb*r)
		lc = float64(c[i]*f) + float64(lc*r)
		ld = float64(d[i]*f) + float64(ld*r)
		a[i], b[i], c[i], d[i] = la, lb, lc, ld
	}
	for i := n - 2; i >= 0; i-- {
		r := near[i]
		la = a[i] + float64(la*r)
		lb = b[i] + float64(lb*r)
		lc = c[i] + float64(lc*r)
		ld = d[i] + float64(ld*r)
		a[i], b[i], c[i], d[i] = la, lb, lc, ld
	}
}

// columns works on all columns of a grid of rows of nx cells, row by row, so that
// memory is read as it lies.
func (s sweep) columns(t []float64, nx int) {
	n := len(s.share)
	for i := range nx {
		t[i] *= s.share[0]
	}
	for j := 1; j < n; j++ {
		row, before, f, r := t[j*nx:(j+1)*nx], t[(j-1)*nx:j*nx], s.share[j], s.near[j]
		before = before[:len(row)]
		for i := range row {
			row[i] = float64(row[i]*f) + float64(before[i]*r)
		}
	}
	for j := n - 2; j >= 0; j-- {
		row, after, r := t[j*nx:(j+1)*nx], t[(j+1)*nx:(j+2)*nx], s.near[j]
		after = after[:len(row)]
		for i := range row {
			row[i] += float64(after[i] * r)
		}
	}
}

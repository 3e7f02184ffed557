package paper

// Column is one of a table.
type Column struct {
	Head  string
	Share float64 // of the width, in proportion to the other columns
	Right bool    // numbers stand at the right
}

// gutter is left free between columns, mm.
const gutter = 2

// Table writes rows under heads, which are repeated on each page. A row has a
// text for each column; missing ones are empty.
func (d *Document) Table(columns []Column, rows [][]string) {
	t := d.table(columns)
	t.heads()
	for _, r := range rows {
		t.row(r)
	}
	d.y += 2
}

type table struct {
	d       *Document
	columns []Column
	x, w    []float64
}

func (d *Document) table(columns []Column) *table {
	room, _ := d.size.Room()
	sum := 0.0
	for _, c := range columns {
		sum += max(c.Share, 0.01)
	}
	t := &table{d: d, columns: columns}
	x := float64(margin)
	for _, c := range columns {
		w := room * max(c.Share, 0.01) / sum
		t.x, t.w = append(t.x, x), append(t.w, w-gutter)
		x += w
	}
	return t
}

func (t *table) heads() {
	var texts []string
	for _, c := range t.columns {
		texts = append(texts, c.Head)
	}
	t.d.need(4 * body.line())
	t.line(texts, t.d.in(bold))
	room, _ := t.d.size.Room()
	t.d.add(line{x0: margin, y0: t.d.y, x1: margin + room, y1: t.d.y})
	t.d.y += 0.8
}

func (t *table) row(texts []string) {
	if t.d.Left() < t.high(texts, t.d.in(body)) {
		t.d.Page()
		t.heads()
	}
	t.line(texts, t.d.in(body))
}

// high returns the height of a row, mm.
func (t *table) high(texts []string, f face) float64 {
	n := 1
	for i := range min(len(texts), len(t.columns)) {
		n = max(n, len(wrap(texts[i], f, t.w[i])))
	}
	return float64(n) * f.line()
}

func (t *table) line(texts []string, f face) {
	for i := range min(len(texts), len(t.columns)) {
		for k, l := range wrap(texts[i], f, t.w[i]) {
			x := t.x[i]
			if t.columns[i].Right {
				x += t.w[i] - f.width(l)
			}
			t.d.add(print{x: x, y: t.d.y + float64(k)*f.line(), text: l, face: f})
		}
	}
	t.d.y += t.high(texts, f)
}

package clock

// window is what a controller's planner sees: so many moves ahead, and no
// further. It never goes faster than lets it stop within them, since it does
// not know that more will come.
type window struct {
	moves   int // 0 where the planner sees far enough
	legs    []leg
	corners []float64
	held    int     // moves in legs
	length  float64 // of legs, mm
}

// push hands legs on when enough moves behind them are known.
func (w *window) push(l leg, corner float64, to *lookahead) {
	if w.moves == 0 {
		to.push(l, corner)
		return
	}
	w.legs, w.corners = append(w.legs, l), append(w.corners, corner)
	w.held += l.moves
	w.length += l.length
	for len(w.legs) > 0 && w.held >= w.moves {
		w.pop(to)
	}
}

func (w *window) pop(to *lookahead) {
	l := w.legs[0]
	stop := l
	stop.length = w.length
	limit := w.corners[0]
	if view := stop.after(0); view < limit {
		limit, l.view = view, view
	}
	to.push(l, limit)
	w.held -= l.moves
	w.length -= l.length
	w.legs, w.corners = w.legs[1:], w.corners[1:]
	if len(w.legs) == 0 {
		w.length = 0 // no rounding is carried on
	}
}

// room reports that a leg of so many moves may take one more: none is longer
// than what the planner sees.
func (w *window) room(moves int) bool { return w.moves == 0 || moves < w.moves }

func (w *window) flush(to *lookahead) {
	for len(w.legs) > 0 {
		w.pop(to)
	}
}

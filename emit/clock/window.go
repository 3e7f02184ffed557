package clock

// window is what a controller's planner sees: so many moves ahead, and no
// further. It never goes faster than lets it stop within them, since it does
// not know that more will come.
type window struct {
	moves   int // 0 where the planner sees far enough
	legs    []leg
	corners []float64
	gone    int     // how many of them, at the front, are handed on
	held    int     // moves in the others
	length  float64 // of the others, mm
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
	for w.waits() && w.held >= w.moves {
		w.pop(to)
	}
}

func (w *window) pop(to *lookahead) {
	l := w.legs[w.gone]
	stop := l
	stop.length = w.length
	limit := w.corners[w.gone]
	if view := stop.after(0); view < limit {
		limit, l.view = view, view
	}
	to.push(l, limit)
	w.held -= l.moves
	w.length -= l.length
	w.gone++
	if !w.waits() {
		w.length = 0 // no rounding is carried on
	}
	if 2*w.gone >= len(w.legs) { // so that a pop copies no more than one on average
		w.legs = w.legs[:copy(w.legs, w.legs[w.gone:])]
		w.corners = w.corners[:copy(w.corners, w.corners[w.gone:])]
		w.gone = 0
	}
}

func (w *window) waits() bool { return w.gone < len(w.legs) }

// room reports that a leg of so many moves may take one more: none is longer
// than what the planner sees.
func (w *window) room(moves int) bool { return w.moves == 0 || moves < w.moves }

func (w *window) flush(to *lookahead) {
	for w.waits() {
		w.pop(to)
	}
}

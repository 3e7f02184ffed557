package svg

// warnings is a list without repetition and with an end.
type warnings struct {
	list []Warning
	seen map[Warning]bool
}

func (w *warnings) add(one Warning) {
	if w.seen == nil {
		w.seen = map[Warning]bool{}
	}
	if w.seen[one] || len(w.list) > maxWarnings {
		return
	}
	if len(w.list) == maxWarnings {
		one = Warning{Message: "more warnings are not shown"}
	}
	w.seen[one] = true
	w.list = append(w.list, one)
}

package svg

import "furrow/path"

// warnings is a list without repetition and with an end.
type warnings struct {
	list []path.Warning
	seen map[path.Warning]bool
}

func (w *warnings) add(one path.Warning) {
	if w.seen == nil {
		w.seen = map[path.Warning]bool{}
	}
	if w.seen[one] || len(w.list) > maxWarnings {
		return
	}
	if len(w.list) == maxWarnings {
		one = path.Warning{Message: "more warnings are not shown"}
	}
	w.seen[one] = true
	w.list = append(w.list, one)
}

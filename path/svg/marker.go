package svg

import "furrow/path"

func (w *walker) markers(n *node, st *state, p path.Path) {
	s := &st.style
	if s.markerStart+s.markerMid+s.markerEnd != "" {
		w.warn(n, "markers are not supported and left out")
	}
}

package svg

func (w *walker) text(n *node, st *state) {
	if !st.style.hidden {
		w.warn(n, "text is not supported and left out: convert it to outlines")
	}
}

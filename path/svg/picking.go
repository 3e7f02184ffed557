package svg

import (
	"fmt"

	"furrow/path"
	"furrow/path/pick"
)

// The names that an element can be picked by.

func (n *node) ID() string { return n.attr("id") }

func (n *node) Classes() string { return n.attr("class") }

// Layer returns the name that a drawing program gave to a group: its attribute
// "label" of whatever namespace, or "data-name".
func (n *node) Layer() string {
	if n.name != "g" {
		return ""
	}
	for i := range n.Attr {
		a := &n.Attr[i]
		if a.Key == "label" && a.Namespace != "" || a.Key == "data-name" {
			return a.Val
		}
	}
	return ""
}

// newPicker reads texts as CSS selectors too.
func newPicker(o pick.Options) (pick.Picker[*node], error) {
	return pick.New(o, func(text string) (pick.Match[*node], error) {
		list, err := parseSelectors(text)
		if err != nil {
			return nil, err
		}
		return func(n *node) bool {
			for i := range list {
				if list[i].match(n) {
					return true
				}
			}
			return false
		}, nil
	})
}

// picks adds to a document what was to be picked in vain.
func (w *walker) picks(doc *path.Document) {
	for _, text := range w.pick.Idle() {
		w.warnings.add(path.Warning{Message: fmt.Sprintf("%q picks nothing in this file", clip(text))})
	}
	doc.Unpicked = w.pick.Unpicked(w.tree.nodes)
	if len(doc.Unpicked) > 0 {
		doc.Names = w.pick.Names(w.tree.nodes)
	}
}

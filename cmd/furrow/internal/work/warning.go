package work

import "fmt"

// Warning is something a person should know before the beam is on.
type Warning struct {
	Message string `json:"message"`
	File    string `json:"file,omitempty"` // the artwork, where it is that
	Element string `json:"element,omitempty"`
	Line    int    `json:"line,omitempty"`
}

func (w Warning) String() string {
	s := ""
	if w.File != "" {
		s = w.File + ": "
	}
	if w.Line > 0 {
		s += fmt.Sprintf("line %d: ", w.Line)
	}
	if w.Element != "" {
		s += "<" + w.Element + ">: "
	}
	return s + w.Message
}

// warningsOf words each message.
func warningsOf(messages []string) (all []Warning) {
	for _, m := range messages {
		all = append(all, Warning{Message: m})
	}
	return all
}

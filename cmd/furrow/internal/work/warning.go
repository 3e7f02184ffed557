package work

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// Warning is something a person should know of the work before the beam is on.
type Warning struct {
	Message string     `json:"message"`
	Kind    path.Kind  `json:"kind,omitempty"` // of what the artwork loses; else empty
	File    string     `json:"file,omitempty"` // the artwork, where it is that
	Element string     `json:"element,omitempty"`
	Line    int        `json:"line,omitempty"`
	AtMM    [4]float64 `json:"at_mm,omitzero"`    // on the artwork's page, where it is known: left, low, right, high
	AreaMM2 float64    `json:"area_mm2,omitzero"` // of that
}

func (w Warning) String() string {
	if w.File != "" {
		return w.File + ": " + w.inFile()
	}
	return w.inFile()
}

// inFile words the warning without the file's name.
func (w Warning) inFile() string {
	return path.Where(w.Line, w.Element) + w.Message + w.place()
}

// place words where the loss lies.
func (w Warning) place() string {
	if w.AtMM == [4]float64{} {
		return ""
	}
	return fmt.Sprintf("; %s at %.1f, %.1f", words.Size(w.at()), w.AtMM[0], w.AtMM[1])
}

func (w Warning) at() path.Rect {
	return path.Rect{Min: path.Point{X: w.AtMM[0], Y: w.AtMM[1]}, Max: path.Point{X: w.AtMM[2], Y: w.AtMM[3]}}
}

// warningsOf words each message.
func warningsOf(messages []string) (all []Warning) {
	for _, m := range messages {
		all = append(all, Warning{Message: m})
	}
	return all
}

// documentWarning is one of reading a file.
func documentWarning(file string, w path.Warning) Warning {
	at := [4]float64{w.At.Min.X, w.At.Min.Y, w.At.Max.X, w.At.Max.Y}
	return Warning{
		Message: w.Message, Kind: w.Kind, File: file, Element: w.Element, Line: w.Line,
		AtMM: at, AreaMM2: w.At.W() * w.At.H(),
	}
}

package order

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
)

// Figures are the facts of an order for programs.
type Figures struct {
	Order     string          `json:"order"`
	Machine   string          `json:"machine"`
	Parts     int             `json:"parts"`
	Pockets   int             `json:"pockets"`
	Loads     int             `json:"loads"`
	Heat      *warmth.Figures `json:"heat,omitempty"` // of a part marked by itself
	MarkingS  float64         `json:"marking_s"`
	Least     float64         `json:"marking_s_least,omitempty"` // by what is assumed of the machine
	Most      float64         `json:"marking_s_most,omitempty"`
	Assumed   []string        `json:"assumed,omitempty"`
	LoadingS  float64         `json:"loading_s"`
	Files     []FileFigures   `json:"files"`
	Added     []string        `json:"added"`
	Altered   []string        `json:"altered"`
	Same      []string        `json:"same"`
	TakenAway []string        `json:"taken_away"`
}

// FileFigures are those of one file.
type FileFigures struct {
	Name    string  `json:"name"`
	Runs    int     `json:"runs"`
	Lines   int     `json:"lines"`
	CRC     string  `json:"crc,omitempty"`
	SHA256  string  `json:"sha256"`
	Seconds float64 `json:"seconds"`
}

// Figures tells what was written.
func (o *Order) Figures(w Written) Figures {
	f := Figures{
		Order: o.title(), Machine: o.Machine.ID, Parts: len(o.Numbers), Pockets: len(o.Pockets), Loads: len(o.Loads),
		Heat: warmth.Of(o.One).Figures(), MarkingS: w.Marking.Seconds(), LoadingS: w.Loading.Seconds(),
		Added: list(w.Changes.Added), Altered: list(w.Changes.Altered), Same: list(w.Changes.Same),
		TakenAway: list(w.Changes.Taken),
	}
	if w.Span.Known() {
		f.Least, f.Most, f.Assumed = w.Span.Low.Seconds(), w.Span.High.Seconds(), w.Span.Assumed
	}
	for _, x := range w.Files {
		f.Files = append(f.Files, FileFigures{
			Name: x.Name, Runs: len(x.Loads), Lines: x.Lines, CRC: x.CRC, SHA256: x.SHA256, Seconds: x.Time.Seconds(),
		})
	}
	return f
}

// list is never null in JSON.
func list(all []string) []string { return append([]string{}, all...) }

// Summary prints the one screen that says what was made.
func (o *Order) Summary(w io.Writer, dir string, made Written) {
	line := func(head, text string) {
		if text != "" {
			fmt.Fprintf(w, "%-12s %s\n", head, text)
		}
	}
	line("order", o.title())
	line("for", value.Or(o.Job.Order.Customer, ""))
	line("due", o.due())
	line("parts", fmt.Sprintf("%s of %s", o.partsWords(), o.blankWords()))
	line("fixture", o.fixtureWords())
	line("loads", fmt.Sprintf("%s from %s", words.Plural(len(o.Loads), "load"), words.Plural(len(made.Files), "file")))
	for _, f := range made.Files {
		text := fmt.Sprintf("%s, %s, crc %s", words.Time(f.Time), words.Plural(f.Lines, "line"), f.CRC)
		if len(f.Loads) > 1 {
			text += fmt.Sprintf(", run %d times", len(f.Loads))
		}
		line(f.Name, text)
	}
	line("sequence", made.Across)
	line("time", o.timeWords(made))
	if e := warmth.Of(o.One); e != nil {
		for i, l := range e.Lines() {
			if i == 0 {
				l[1] += ", a part marked by itself"
			}
			line(cmp.Or(l[0], " "), l[1])
		}
	}
	if o.Cooled != nil {
		for _, l := range o.Cooled() {
			line(l[0], l[1])
		}
	}
	line("machine", o.Machine.NameWords())
	if o.FirstArticle() && o.Name == "load" && o.Numbers[0] == 1 {
		line("first", firstWords(dir))
	}
	line("folder", dir+": "+changeWords(made.Changes))
	line("caution", settings.Caution)
}

// firstWords says of the first article how it is made alone, or, once it is accepted, how the
// others are.
func firstWords(dir string) string {
	if is, err := Accepted(dir); err == nil && is {
		return "it is accepted, and part 1 is in these loads once more: furrow order --rest makes the others alone"
	}
	return "look at the first part before the rest is run: furrow order --first writes it alone"
}

// DrySummary prints what an order would be, as far as it can be told without its files.
func (o *Order) DrySummary(w io.Writer, made Written) {
	line := func(head, text string) { fmt.Fprintf(w, "%-12s %s\n", head, text) }
	line("fixture", o.fixtureWords())
	line("loads", fmt.Sprintf("%s from %s; all of them fit", words.Plural(len(o.Loads), "load"),
		words.Plural(len(made.Files), "file")))
	line("time", o.timeWords(made))
	line("machine", o.Machine.NameWords())
	line("written", "nothing: --dry")
}

func (o *Order) partsWords() string {
	if len(o.Numbers) == o.Quantity() {
		return words.Plural(o.Quantity(), "part")
	}
	if len(o.Numbers) == 1 {
		return fmt.Sprintf("part %d of %d", o.Numbers[0], o.Quantity())
	}
	return fmt.Sprintf("parts %s of %d", words.Numbers(o.Numbers), o.Quantity())
}

func (o *Order) timeWords(made Written) string {
	text := words.Time(made.Marking) + made.Span.Words() + " marking"
	if made.Loading > 0 {
		text += fmt.Sprintf(" and %s loading: %s in all", words.Time(made.Loading),
			words.Time(made.Marking+made.Loading))
	} else {
		text += "; loading time not included"
	}
	return text
}

// changeWords says what a second run changed.
func changeWords(c product.Changes) string {
	switch {
	case c.Fresh:
		return "new, " + words.Plural(len(c.Added), "file")
	case !c.Any():
		return "nothing changed"
	}
	var all []string
	for _, l := range []struct {
		verb  string
		names []string
	}{{"new", c.Added}, {"rewritten", c.Altered}, {"removed", c.Taken}} {
		if len(l.names) > 0 {
			all = append(all, l.verb+" "+strings.Join(l.names, ", "))
		}
	}
	return strings.Join(all, "; ")
}

// WriteParts prints the table of the parts.
func (o *Order) WriteParts(w io.Writer) error {
	if o.Source.Table != nil {
		return o.Source.Table(w)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "PART\tLOAD\tPOCKET\tFILE")
	for _, h := range o.textHeads() {
		fmt.Fprintf(t, "\t%s", strings.ToUpper(h))
	}
	fmt.Fprintln(t)
	for _, l := range o.Loads {
		for _, s := range l.Seats {
			fmt.Fprintf(t, "%d\t%d\t%d\t%s", s.Part, l.Number, s.Pocket.Number, l.File)
			for _, text := range o.parts[s.Part].Texts {
				fmt.Fprintf(t, "\t%s", text.Text)
			}
			fmt.Fprintln(t)
		}
	}
	return t.Flush()
}

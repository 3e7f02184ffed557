package data

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
)

// separators are those looked for.
var separators = []rune{',', ';', '\t'}

func readCSV(name string, content []byte, o Options) (Table, error) {
	text, err := decode(name, content, o.Encoding)
	if err != nil {
		return Table{}, err
	}
	p := &Problems{File: name}
	text = lineEnds(text)
	text, by, skipped := separatorLine(text)
	if by == 0 {
		by = separator(text, p)
	}
	if p.Err() != nil {
		return Table{}, p
	}
	s := records(text, by, skipped, p)
	t := s.table(p)
	return t, p.Err()
}

// lineEnds makes LF of CR LF and of a CR alone.
func lineEnds(text string) string {
	return strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
}

// separatorLine takes a first line as in sep=; from the text. It returns the
// separator, or 0, and the lines that are gone.
func separatorLine(text string) (rest string, by rune, lines int) {
	first, rest, _ := strings.Cut(text, "\n")
	first = strings.Trim(first, `"`)
	if len(first) == 5 && strings.EqualFold(first[:4], "sep=") && slices.Contains(separators, rune(first[4])) {
		return rest, rune(first[4]), 1
	}
	return text, 0, 0
}

// separator looks which one the head has. Where it has several, all rows must have
// as many cells by one of them only.
func separator(text string, p *Problems) rune {
	var found []rune
	for _, by := range separators {
		if head := records(firstRecord(text), by, 0, &Problems{}); len(head.rows) > 0 && len(head.rows[0]) > 1 {
			found = append(found, by)
		}
	}
	several := len(found) > 1
	if several {
		found = slices.DeleteFunc(found, func(by rune) bool { return !regular(text, by) })
	}
	switch {
	case len(found) == 1:
		return found[0]
	case several:
		p.add(1, "", "it cannot be seen what separates the cells: write a line before it, as in sep=;")
	}
	return ','
}

// firstRecord returns the first lines that hold anything, to the end of one where
// all quotes are closed.
func firstRecord(text string) string {
	text = strings.TrimLeft(text, "\n")
	quoted := false
	for i := range len(text) {
		switch {
		case text[i] == '"':
			quoted = !quoted
		case text[i] == '\n' && !quoted:
			return text[:i]
		}
	}
	return text
}

// regular reports that all records have as many cells as the first, and no faults.
func regular(text string, by rune) bool {
	p := &Problems{}
	s := records(text, by, 0, p)
	for _, r := range s.rows {
		if len(r) != len(s.rows[0]) {
			return false
		}
	}
	return len(p.List) == 0
}

// records splits the text into cells. A record that cannot be split is told, and
// the next one read.
func records(text string, by rune, skipped int, p *Problems) *sheet {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = by, -1
	s := &sheet{}
	for {
		cells, err := r.Read()
		var wrong *csv.ParseError
		switch {
		case err == io.EOF:
			return s
		case errors.As(err, &wrong):
			column := letter(columnAt(text, by, wrong))
			p.add(wrong.StartLine+skipped, column, "%s", worded(wrong.Err))
			if len(p.List) >= maxProblems {
				return s
			}
		case err != nil:
			p.add(0, "", "%v", err)
			return s
		default:
			line, _ := r.FieldPos(0)
			s.add(line+skipped, cells)
		}
	}
}

// columnAt counts the separators before a fault on its line, as if no cell held
// one.
func columnAt(text string, by rune, wrong *csv.ParseError) int {
	line := strings.Split(text, "\n")[wrong.Line-1]
	return strings.Count(line[:min(wrong.Column-1, len(line))], string(by))
}

func worded(err error) string {
	switch {
	case errors.Is(err, csv.ErrBareQuote):
		return `a quote inside a cell that is not quoted: write the whole cell in quotes, and each of its own twice`
	case errors.Is(err, csv.ErrQuote):
		return `a quoted cell does not end as it should: after its closing quote comes a separator or the end of ` +
			`the line, and a quote of its own is written twice`
	}
	return err.Error()
}

// isUTF16 tells by the mark at the start.
func isUTF16(content []byte) bool {
	return bytes.HasPrefix(content, []byte("\xff\xfe")) || bytes.HasPrefix(content, []byte("\xfe\xff"))
}

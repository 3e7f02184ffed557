package undated

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
)

var (
	creationDate = regexp.MustCompile(`/CreationDate ?\(D:[^)]*\)`)
	fontFile     = regexp.MustCompile(`/FontFile2 (\d+) 0 R`)
	tail         = regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`)
	table        = regexp.MustCompile(`^xref\n0 (\d+)\n`)
	stream       = regexp.MustCompile(`(?s)^(\d+ 0 obj\n<<.*?/Length )(\d+)(.*?>>stream\n)`)
)

var errPDF = errors.New("the PDF has not the form that is expected")

// object is one of a PDF.
type object struct {
	number, from int
	body         []byte
}

// PDF returns the file without its date, and with its fonts undated. It expects
// the plain form of PDF 1.7 that canvas writes: one table of references, streams
// compressed one by one.
func PDF(file []byte) ([]byte, error) {
	objects, head, trailer, err := parse(file)
	if err != nil {
		return nil, err
	}
	fonts := map[int]bool{}
	for i, o := range objects {
		objects[i].body = creationDate.ReplaceAll(o.body, nil)
		if !stream.Match(o.body) {
			for _, m := range fontFile.FindAllSubmatch(o.body, -1) {
				n, _ := strconv.Atoi(string(m[1]))
				fonts[n] = true
			}
		}
	}
	for i, o := range objects {
		if fonts[o.number] {
			if objects[i].body, err = fontStream(o.body); err != nil {
				return nil, err
			}
		}
	}
	return assemble(head, objects, trailer), nil
}

// parse splits a file into its objects, in the order in which they stand, and
// what is before and behind them.
func parse(file []byte) (objects []object, head, trailer []byte, err error) {
	m := tail.FindSubmatchIndex(file)
	if m == nil {
		return nil, nil, nil, errPDF
	}
	start, err := strconv.Atoi(string(file[m[2]:m[3]]))
	if err != nil || start > m[0] {
		return nil, nil, nil, errPDF
	}
	from, table, err := references(file[start:m[0]])
	if err != nil {
		return nil, nil, nil, err
	}
	for i, at := range from {
		if at > start {
			return nil, nil, nil, errPDF
		}
		objects = append(objects, object{number: i + 1, from: at})
	}
	cutObjects(objects, file[:start])
	return objects, file[:objects[0].from], file[start+table : m[0]], nil
}

// references returns where the objects of a file stand, by the table that b
// begins with, and the length of the table.
func references(b []byte) (from []int, length int, err error) {
	const entry = 20
	m := table.FindSubmatch(b)
	if m == nil {
		return nil, 0, errPDF
	}
	n, err := strconv.Atoi(string(m[1]))
	if err != nil || n < 2 || n > (len(b)-len(m[0]))/entry {
		return nil, 0, errPDF
	}
	for i := 1; i < n; i++ { // the first is no object
		at, err := strconv.Atoi(string(b[len(m[0])+i*entry:][:10]))
		if err != nil || at < 0 {
			return nil, 0, errPDF
		}
		from = append(from, at)
	}
	return from, len(m[0]) + n*entry, nil
}

// cutObjects sorts the objects by place and gives each its bytes.
func cutObjects(objects []object, file []byte) {
	slices.SortFunc(objects, func(a, b object) int { return a.from - b.from })
	for i := range objects {
		end := len(file)
		if i+1 < len(objects) {
			end = objects[i+1].from
		}
		objects[i].body = file[objects[i].from:end]
	}
}

// fontStream returns the stream object of a font with the font undated.
func fontStream(body []byte) ([]byte, error) {
	m := stream.FindSubmatchIndex(body)
	if m == nil {
		return nil, errPDF
	}
	n, _ := strconv.Atoi(string(body[m[4]:m[5]]))
	from := m[1]
	if n > len(body)-from {
		return nil, errPDF
	}
	z, err := zlib.NewReader(bytes.NewReader(body[from : from+n]))
	if err != nil {
		return nil, err
	}
	f, err := io.ReadAll(z)
	if err == nil {
		err = font(f)
	}
	if err != nil {
		return nil, err
	}
	packed := deflate(f)
	return slices.Concat(body[:m[4]], []byte(strconv.Itoa(len(packed))), body[m[6]:m[7]], packed, body[from+n:]), nil
}

func deflate(b []byte) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(b) // a buffer takes everything
	_ = z.Close()
	return packed.Bytes()
}

// assemble writes the objects one behind the other, and the table of where they
// stand.
func assemble(head []byte, objects []object, trailer []byte) []byte {
	out := bytes.NewBuffer(bytes.Clone(head))
	at := make([]int, len(objects)+1)
	for _, o := range objects {
		at[o.number] = out.Len()
		out.Write(o.body)
	}
	start := out.Len()
	fmt.Fprintf(out, "xref\n0 %d\n0000000000 65535 f \n", len(at))
	for _, a := range at[1:] {
		fmt.Fprintf(out, "%010d 00000 n \n", a)
	}
	out.Write(trailer)
	fmt.Fprintf(out, "startxref\n%d\n%%%%EOF\n", start)
	return out.Bytes()
}

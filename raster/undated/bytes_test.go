package undated_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/raster/undated"
)

// pdfOf puts a file together from objects, numbered from 1, in the plainest form of
// ISO 32000-1, 7.5: each is told of by its offset.
func pdfOf(head, trailer string, objects ...string) string {
	var b strings.Builder
	b.WriteString(head)
	table := fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for i, o := range objects {
		table += fmt.Sprintf("%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	return b.String() + table + trailer + fmt.Sprintf("startxref\n%d\n%%%%EOF\n", b.Len())
}

const trailer = "trailer\n<</Root 1 0 R/Size 9>>\n"

func packed(data []byte) string {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = z.Write(data)
	_ = z.Close()
	return b.String()
}

// fontObject is a stream of a font, its length a few bytes more than it is.
func fontObject(font []byte, more int) string {
	body := packed(font)
	return fmt.Sprintf("<</Filter/FlateDecode/Length %d/Length1 9>>stream\n%s\nendstream", len(body)+more, body)
}

// fontOf is a file of three tables by the OpenType specification, version 1.9, whose
// length is no multiple of four, with a head of a length at an offset.
func fontOf(headLength, headOffset int) []byte {
	f := make([]byte, 12+3*16+8+54+7)
	copy(f, "\x00\x01\x00\x00\x00\x03")
	record := func(i int, tag string, offset, length int) {
		copy(f[12+16*i:], tag)
		binary.BigEndian.PutUint32(f[12+16*i+8:], uint32(offset))
		binary.BigEndian.PutUint32(f[12+16*i+12:], uint32(length))
	}
	record(0, "cmap", 60, 8)
	record(1, "head", headOffset, headLength)
	record(2, "name", 68+54, 7)
	for i := 60; i < len(f); i++ {
		f[i] = byte(200 + i)
	}
	return f
}

// sumOf is the sum of big-endian words, a byte at a time, its end filled with zeros.
func sumOf(b []byte) (s uint32) {
	for i, v := range b {
		s += uint32(v) << (8 * (3 - i%4))
	}
	return s
}

// fontIn returns the font in an object of a file.
func fontIn(t *testing.T, file []byte, object int) []byte {
	t.Helper()
	m := regexp.MustCompile(fmt.Sprintf(`(?s)\n%d 0 obj\n<<[^>]*/Length (\d+)[^>]*>>stream\n`,
		object)).FindSubmatchIndex(file)
	require.NotNil(t, m)
	n, err := strconv.Atoi(string(file[m[2]:m[3]]))
	require.NoError(t, err)
	require.Equal(t, "\nendstream", string(file[m[1]+n:][:10]), "as long as its length says")
	z, err := zlib.NewReader(bytes.NewReader(file[m[1] : m[1]+n]))
	require.NoError(t, err)
	f, err := io.ReadAll(z)
	require.NoError(t, err)
	return f
}

// Of a font only the date of change differs, which becomes that of making, and the two
// sums, by the specification: that of the table head, reckoned with no adjustment, and
// the adjustment that makes the whole file's 0xB1B0AFBA.
func TestOnlyTheDateOfAFontChanges(t *testing.T) {
	was := fontOf(54, 68)
	file, err := undated.PDF([]byte(pdfOf("%PDF-1.7\n", trailer, "<</FontFile2 2 0 R>>", fontObject(was, 0))))
	require.NoError(t, err)
	got := fontIn(t, file, 2)
	want := bytes.Clone(was)
	head := want[68 : 68+54]
	copy(head[28:36], head[20:28])
	copy(head[8:12], "\x00\x00\x00\x00")
	binary.BigEndian.PutUint32(want[12+16+4:], sumOf(head))
	binary.BigEndian.PutUint32(head[8:], 0xB1B0AFBA-sumOf(want))
	require.Equal(t, want, got)
	require.Equal(t, uint32(0xB1B0AFBA), sumOf(got))
}

// Nothing else of a file changes but its date and the places of its objects: the one
// that the table tells of last may stand first, two fonts may be told of in one object,
// and what looks like a date or a font inside of a stream is left alone.
func TestTheRestOfAFileStays(t *testing.T) {
	objects := []string{
		"<</FontFile2 3 0 R>><</FontFile2 4 0 R>>",
		"<</Length 42>>stream\n/FontFile2 5 0 R \nendstream",
		fontObject(fontOf(54, 68), 0), fontObject(fontOf(54, 68), 0),
		"<</Title (tags)>>",
		"<</Producer (x)/CreationDate (D:20260101120000Z)/Author (y)>>",
	}
	file := pdfOf("%PDF-1.7\n%\xe2\xe3\n", trailer, objects...)
	got, err := undated.PDF([]byte(file))
	require.NoError(t, err)
	for _, n := range []int{3, 4} {
		f := fontIn(t, got, n)
		require.Equal(t, f[68+20:68+28], f[68+28:68+36])
		objects[n-1] = fontObject(f, 0)
	}
	objects[5] = "<</Producer (x)/Author (y)>>"
	require.Equal(t, pdfOf("%PDF-1.7\n%\xe2\xe3\n", trailer, objects...), string(got))

	// The same two objects the other way round, the first at the very beginning.
	a, b := "1 0 obj\n<<>>\nendobj\n", "2 0 obj\n<</CreationDate (D:2026)>>\nendobj\n"
	table := "xref\n0 3\n0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n" + trailer + "startxref\n%d\n%%%%EOF\n"
	got, err = undated.PDF([]byte(b + a + fmt.Sprintf(table, len(b), 0, len(a+b))))
	require.NoError(t, err)
	c := "2 0 obj\n<<>>\nendobj\n"
	require.Equal(t, c+a+fmt.Sprintf(table, len(c), 0, len(a+c)), string(got))
}

// A damaged file is refused, whatever of it is; one that only just holds is not.
func TestDamagedFilesAreRefused(t *testing.T) {
	with := func(font string) string { return pdfOf("%PDF-1.7\n", trailer, "<</FontFile2 2 0 R>>", font) }
	raw := func(data string) string { return fmt.Sprintf("<</Length %d>>stream\n%s\nendstream", len(data), data) }
	whole := pdfOf("%PDF-1.7\n", "", "<<>>", "<<>>")
	end := len("\nendstream\nendobj\n")
	start := strings.Index(whole, "xref\n")
	few := fontOf(54, 68)
	few[5] = 1 // the head is the second
	for name, tt := range map[string]struct {
		file string
		ok   bool
	}{
		"whole":                       {with(fontObject(fontOf(54, 68), 0)), true},
		"a stream up to its object":   {with(fontObject(fontOf(54, 68), end)), true},
		"a stream beyond its object":  {with(fontObject(fontOf(54, 68), end+1)), false},
		"a stream of no font":         {with(raw(packed([]byte("short")))), false},
		"a stream that is not packed": {with(raw("plain text, no zlib")), false},
		"a stream cut off":            {with(raw(packed(fontOf(54, 68))[:20])), false},
		"a font without a stream":     {with("<</Length 7>>"), false},
		"a directory cut off":         {with(fontObject(fontOf(54, 68)[:12+16+15], 0)), false},
		"a font without a head": {with(fontObject(bytes.Replace(fontOf(54, 68), []byte("head"),
			[]byte("hea_"), 1), 0)), false},
		"a head behind the directory":  {with(fontObject(few, 0)), false},
		"a head of 53 bytes":           {with(fontObject(fontOf(53, 68), 0)), false},
		"a head up to the end":         {with(fontObject(fontOf(54, 75), 0)), true},
		"a head beyond the end":        {with(fontObject(fontOf(54, 76), 0)), false},
		"a table of its entries alone": {whole, true},
		"a table of one entry more":    {strings.Replace(whole, "0 3\n", "0 4\n", 1), false},
		"a table into what follows it": {strings.Replace(pdfOf("%PDF-1.7\n", "0000000009 00", "<<>>", "<<>>"),
			"0 3\n", "0 4\n", 1), false},
		"a table of one object": {pdfOf("%PDF-1.7\n", trailer, "<<>>"), true},
		"a place right at the table": {strings.Replace(whole, "0000000009 0",
			fmt.Sprintf("%010d 0", start), 1), true},
		"a place within the table": {strings.Replace(whole, "0000000009 0",
			fmt.Sprintf("%010d 0", start+1), 1), false},
		"a table of no object":          {pdfOf("%PDF-1.7\n", trailer), false},
		"a place that is no number":     {strings.Replace(whole, "0000000009 0", "00000x0009 0", 1), false},
		"a place before the file":       {strings.Replace(whole, "0000000009 0", "-000000009 0", 1), false},
		"a place behind the table":      {strings.Replace(whole, "0000000009 0", "0000000999 0", 1), false},
		"a table that is not there":     {strings.Replace(whole, "xref\n0 3", "xxxx\n0 3", 1), false},
		"a table that begins elsewhere": {strings.Replace(whole, "startxref\n", "startxref\n9", 1), false},
		"a number of no size": {strings.Replace(whole, "startxref\n", "startxref\n99999999999999999999", 1),
			false},
	} {
		_, err := undated.PDF([]byte(tt.file))
		require.Equal(t, tt.ok, err == nil, "%s: %v", name, err)
	}
}

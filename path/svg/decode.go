package svg

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"io"
	"regexp"
	"unicode/utf8"

	"golang.org/x/net/html/charset"
)

// decode reads all of r as UTF-8: gunzipped where it starts like gzip, and
// converted by its byte-order mark or else its XML declaration.
func decode(r io.Reader) ([]byte, error) {
	br := bufio.NewReader(r)
	var in io.Reader = br
	if head, _ := br.Peek(2); bytes.Equal(head, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(br)
		if err != nil {
			return nil, &Error{Message: "damaged gzip: " + err.Error(), Err: err}
		}
		in = z
	}
	data, err := io.ReadAll(io.LimitReader(in, maxBytes+1))
	switch {
	case in != br && err != nil:
		return nil, &Error{Message: "damaged gzip: " + err.Error(), Err: err}
	case err != nil:
		return nil, err
	case len(data) > maxBytes:
		return nil, &Error{Message: "file is larger than 128 MB: leave out embedded pictures, or cut it up"}
	case len(bytes.TrimSpace(data)) == 0:
		return nil, &Error{Message: "file is empty"}
	}
	if kind := pictureKind(data); kind != "" {
		return nil, &Error{Message: "it is " + kind +
			" and no SVG: its edges have to be traced in a drawing program and saved as SVG"}
	}
	return toUTF8(data)
}

// pictureKind names what a file is that people take for artwork, by its first
// bytes (PNG, clause 5.2; JPEG, SOI; GIF89a; PDF 7.5.2), or returns "".
func pictureKind(data []byte) string {
	for _, k := range []struct{ start, name string }{
		{"\x89PNG\r\n", "a PNG picture"}, {"\xff\xd8\xff", "a JPEG picture"}, {"GIF8", "a GIF picture"},
		{"%PDF-", "a PDF"},
	} {
		if bytes.HasPrefix(data, []byte(k.start)) {
			return k.name
		}
	}
	return ""
}

var xmlEncoding = regexp.MustCompile(`^\s*<\?xml[^>]*?\sencoding\s*=\s*["']([A-Za-z0-9._-]+)["']`)

func toUTF8(data []byte) ([]byte, error) {
	name := "utf-8"
	switch { // behind the mark of UTF-8 no declaration is found
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("<\x00")):
		name = "utf-16le"
	case bytes.HasPrefix(data, []byte("\xfe\xff")), bytes.HasPrefix(data, []byte("\x00<")):
		name = "utf-16be"
	default:
		if m := xmlEncoding.FindSubmatch(data[:min(len(data), 1024)]); m != nil {
			name = string(m[1])
		}
	}
	enc, canonical := charset.Lookup(name)
	if enc == nil {
		return nil, &Error{Message: "unknown character encoding " + name + ": save it as UTF-8", Line: 1}
	}
	if canonical != "utf-8" {
		out, err := enc.NewDecoder().Bytes(data)
		if err != nil {
			return nil, &Error{Message: "not in the encoding it declares, " + name, Err: err}
		}
		data = bytes.TrimPrefix(out, []byte("\xef\xbb\xbf"))
	}
	if !utf8.Valid(data) {
		return nil, &Error{Message: "not a text file in UTF-8, nor in another encoding that it declares"}
	}
	return data, nil
}

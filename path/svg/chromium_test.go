package svg_test

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"testing"
	"time"

	"context"
	"io/fs"

	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser paints documents of 100 x 100 px at four times their size, side by side on
// one page, with Chromium.
func browser(t *testing.T, docs [][]byte) []*picture {
	t.Helper()
	const side, columns = 400, 8
	rows := (len(docs) + columns - 1) / columns
	var html bytes.Buffer
	html.WriteString(`<!doctype html><style>*{margin:0;padding:0}img{position:absolute;width:400px;height:400px}</style>`)
	for i, d := range docs {
		fmt.Fprintf(&html, `<img style="left:%dpx;top:%dpx" src="data:image/svg+xml;base64,%s">`,
			i%columns*side, i/columns*side, base64.StdEncoding.EncodeToString(d))
	}
	dir := t.TempDir()
	page, shot := filepath.Join(dir, "page.html"), filepath.Join(dir, "shot.png")
	require.NoError(t, os.WriteFile(page, html.Bytes(), 0o600))
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, outside.Program(t, "chromium"), "--headless", "--no-sandbox", "--disable-gpu",
		"--disable-dev-shm-usage", "--user-data-dir="+dir, "--hide-scrollbars",
		"--force-color-profile=srgb", "--lang=en",
		fmt.Sprintf("--window-size=%d,%d", columns*side, rows*side), "--screenshot="+shot, "file://"+page)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	data, err := os.ReadFile(shot)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	var pics []*picture
	for i := range docs {
		one := image.NewRGBA(image.Rect(0, 0, side, side))
		draw.Draw(one, one.Bounds(), img, image.Pt(i%columns*side, i/columns*side), draw.Src)
		pics = append(pics, fromImage(one))
	}
	return pics
}

// Where librsvg does not draw a feature, or does so otherwise than the specification
// says, Chromium decides.
func TestCasesAgainstChromium(t *testing.T) {
	outside.Slow(t)
	if _, err := os.Stat(dejavu); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	var names []string
	for name := range browserCases {
		names = append(names, name)
	}
	sort.Strings(names)
	var docs [][]byte
	for _, name := range names {
		docs = append(docs, []byte(on(browserCases[name])))
	}
	pics := browser(t, docs)
	for i, name := range names {
		t.Run(name, func(t *testing.T) {
			doc, err := svg.Read(bytes.NewReader(docs[i]), svg.Options{Fonts: []fs.FS{os.DirFS(dejavu)}})
			require.NoError(t, err)
			assert.Empty(t, doc.Warnings)
			ours := paint(doc.Artwork, 400)
			share := agreement(ours, pics[i])
			assert.GreaterOrEqual(t, share, 0.98)
			save(t, name, ours, pics[i])
		})
	}
}

// save writes two pictures side by side where FURROW_SHOW names a folder.
func save(t *testing.T, name string, pics ...*picture) {
	folder := os.Getenv("FURROW_SHOW")
	if folder == "" {
		return
	}
	img := image.NewRGBA(image.Rect(0, 0, len(pics)*pics[0].w, pics[0].h))
	for n, p := range pics {
		for i, c := range p.rgb {
			o := img.PixOffset(n*p.w+i%p.w, i/p.w)
			for k := range 3 {
				img.Pix[o+k] = uint8(255 * min(1, max(0, c[k])))
			}
			img.Pix[o+3] = 255
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	require.NoError(t, os.WriteFile(filepath.Join(folder, filepath.Base(name)+".png"), b.Bytes(), 0o600))
}

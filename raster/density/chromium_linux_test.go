package density_test

import (
	"bytes"
	"image"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/outside"
	"furrow/raster/density"
)

// A browser decodes the film: the number of its frames and every pixel of its
// last one are those composed above.
func TestFilmInChromium(t *testing.T) {
	film := filmed(t, emblem(), 1, 500)
	frames := play(t, film)
	last := frames[len(frames)-1].img
	got := browse(t, viewer, film, "image/png")
	count, pixels, _ := strings.Cut(got, "\n")
	assert.Equal(t, "15", count, "frames")
	comparePixels(t, last, []byte(pixels))
}

// A browser shows the SVG as the same picture as the PNG.
func TestSVGInChromium(t *testing.T) {
	for _, show := range []density.Show{density.ShowRows, density.ShowDose} {
		pic := onPaper(t, show)
		var b bytes.Buffer
		require.NoError(t, pic.EncodeSVG(&b))
		w, h := pic.Size()
		page := strings.NewReplacer("WIDTH", strconv.Itoa(w), "HEIGHT", strconv.Itoa(h)).Replace(svgViewer)
		got := browse(t, page, b.Bytes(), "image/svg+xml")
		require.Len(t, got, 4*w*h, "%.100s", got)
		alike(t, pic.Image(), &image.RGBA{Pix: []byte(got), Stride: 4 * w, Rect: image.Rect(0, 0, w, h)},
			"chromium, "+show.String())
	}
}

// browse opens a page in a headless browser and returns what it posts to /said.
// The page finds a file at /file.
func browse(t *testing.T, page string, file []byte, kind string) string {
	t.Helper()
	browser := outside.Program(t, "chromium")
	said := make(chan string, 1)
	mux := http.NewServeMux()
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, page) })
	mux.HandleFunc("/file", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		_, _ = w.Write(file)
	})
	mux.HandleFunc("/said", func(_ http.ResponseWriter, r *http.Request) {
		b, _ := io.ReadAll(r.Body)
		said <- string(b)
	})
	server := httptest.NewServer(mux)
	defer server.Close()
	profile, err := os.MkdirTemp("", "browser")
	require.NoError(t, err)
	// Headless, without the sandbox that containers lack.
	cmd := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
		"--user-data-dir="+profile, "--remote-debugging-port=0", server.URL)
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	require.NoError(t, cmd.Start())
	defer func() { // the browser is many processes, which write to their profile to the last
		_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL)
		_ = cmd.Wait()
		_ = os.RemoveAll(profile)
	}()
	select {
	case got := <-said:
		return got
	case <-time.After(60 * time.Second):
		t.Fatal("the browser said nothing within a minute")
	}
	return ""
}

func comparePixels(t *testing.T, want *image.RGBA, got []byte) {
	t.Helper()
	require.Len(t, got, len(want.Pix))
	for i := range got {
		if int(got[i])-int(want.Pix[i]) > 1 || int(want.Pix[i])-int(got[i]) > 1 {
			t.Fatalf("pixel %d is %v, not %v", i/4, got[i&^3:i|3+1], want.Pix[i&^3:i|3+1])
		}
	}
}

// viewer decodes the film and sends back the number of frames and the pixels of
// the last one.
const viewer = `<!doctype html><title>film</title><script>
(async () => {
  let say;
  try {
    const data = await (await fetch('/file')).arrayBuffer();
    const decoder = new ImageDecoder({data, type: 'image/png'});
    await decoder.tracks.ready;
    await decoder.completed;
    const count = decoder.tracks.selectedTrack.frameCount;
    const {image} = await decoder.decode({frameIndex: count - 1});
    const canvas = new OffscreenCanvas(image.displayWidth, image.displayHeight);
    const context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    say = new Blob([count + '\n', context.getImageData(0, 0, canvas.width, canvas.height).data]);
  } catch (e) { say = 'error: ' + e }
  await fetch('/said', {method: 'POST', body: say});
})()
</script>`

// svgViewer draws the SVG and sends back its pixels.
const svgViewer = `<!doctype html><title>picture</title><script>
(async () => {
  let say;
  try {
    const img = new Image();
    img.src = '/file';
    await img.decode();
    const canvas = new OffscreenCanvas(WIDTH, HEIGHT);
    const context = canvas.getContext('2d');
    context.drawImage(img, 0, 0, WIDTH, HEIGHT);
    say = context.getImageData(0, 0, WIDTH, HEIGHT).data;
  } catch (e) { say = 'error: ' + e }
  await fetch('/said', {method: 'POST', body: say});
})()
</script>`

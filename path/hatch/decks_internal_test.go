package hatch

import (
	"compress/gzip"
	"os"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/require"
)

// Rows over what is marked of a whole deck of cards, laid on shapes, clips and gradients as
// they were drawn, are those over its boundary, which is made in tiles. Decks are of Debian's
// kdegames-card-data-kf5; on one of them gradients once lost a strip of a tile.
func TestBoundaryOfDecks(t *testing.T) {
	outside.Slow(t)
	for _, name := range []string{"svg-oxygen", "svg-gm-paris"} {
		f, err := even(deck(t, name), anyLayer)
		require.NoError(t, err)
		all, err := tiledBoundary(f, newPainter(f, anyLayer), tilePoints)
		require.NoError(t, err)
		grid := newGrid(path.Point{X: 1}, 0, deckHeight, 0.05, false)
		want, got := rowsOf(t, f, &grid), rowsOf(t, flatRings(all.rings, path.NonZero), &grid)
		for k := range want.NumRows() {
			require.InDelta(t, markedOf(want.Row(k)), markedOf(got.Row(k)), 1e-3, "%s, row at %g mm", name,
				want.At(k, 0).Y)
		}
	}
}

func anyLayer(*layer) bool { return true }

const deckHeight = 200.0

// deck returns a deck of cards on a page of that height.
func deck(t *testing.T, name string) *flat {
	file, err := os.Open(outside.Files(t, ".debian/usr/share/carddecks/"+name+"/*.svgz", 1)[0])
	require.NoError(t, err)
	defer file.Close()
	plain, err := gzip.NewReader(file)
	require.NoError(t, err)
	doc, err := svg.Read(plain, svg.Options{})
	require.NoError(t, err)
	scale := deckHeight / doc.Artwork.Page.H()
	f, err := flattenAll(doc.Artwork.Transform(path.Scale(scale, scale)), Settings{Tolerance: 0.01})
	require.NoError(t, err)
	return f
}

func rowsOf(t *testing.T, f *flat, g *grid) path.RowSet {
	w := filler{f: f, workers: 1}
	set, err := w.rows(*g, newPainter(f, anyLayer), nil)
	require.NoError(t, err)
	return set
}

func markedOf(row []path.Span) (sum float64) {
	for _, s := range row {
		sum += s.X1 - s.X0
	}
	return sum
}

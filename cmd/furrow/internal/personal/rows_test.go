package personal_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/personal"
)

// What is wrong with rows of the data is told with what is wrong with the parts of them; of
// data that hold none, or cannot be read, that alone.
func TestProblemsOfRowsAndParts(t *testing.T) {
	for content, want := range map[string]string{
		"species,number\nTilia,1,stray\n銀杏,2\n": "tags.csv: row 2, column \"C\": a cell with no column above it: " +
			"\"stray\"\n" +
			"tags.csv: row 3: part 2, #name: the font lacks '銀' (U+9280), '杏' (U+674F) of \"銀杏\"",
		"species,number\n銀杏,2,stray\n": "tags.csv: row 2, column \"C\": a cell with no column above it: \"stray\"\n" +
			"tags.csv: row 2: part 1, #name: the font lacks '銀' (U+9280), '杏' (U+674F) of \"銀杏\"",
		"": "tags.csv: it is empty: a head with the names of the columns is needed, and a row a part",
	} {
		_, _, _, err := personal.Prepare(input(t, tag, order), []byte(content))
		require.EqualError(t, err, want)
	}
	for content, way := range map[string]string{
		"species,number\n銀杏,2\n": "name a font that has them behind the text's own", "species,number\nTilia,1\n": "",
	} {
		_, _, _, err := personal.Prepare(input(t, tag, order), []byte(content))
		var f fault.Hinter
		if way == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorAs(t, err, &f)
		require.Contains(t, f.Hint(), way)
	}
	lined := strings.Replace(order, "value = \"{species}\"", "value = \"{species}\"\nfont = \"single-line\"", 1)
	require.NotEqual(t, order, lined)
	_, _, _, err := personal.Prepare(input(t, tag, lined), []byte("species,number\n銀杏,2\n"))
	var f fault.Hinter
	require.ErrorAs(t, err, &f)
	require.Contains(t, f.Hint(), "leave font = \"single-line\" out")
	_, _, _, err = personal.Prepare(input(t, tag, order), []byte("species,number\nM\xfcller,1\n"))
	require.ErrorContains(t, err, "UTF-8")
}

// The data say how many parts there are: another number that is ordered is told, and the
// same is none.
func TestOrderedNumberOfParts(t *testing.T) {
	for quantity, want := range map[string]string{
		"1": "tags.csv: the data make 3 parts, and 1 are ordered: leave order.quantity out",
		"5": "tags.csv: the data make 3 parts, and 5 are ordered: leave order.quantity out", "3": "",
	} {
		_, _, _, err := personal.Prepare(input(t, tag, order+"[order]\nquantity = "+quantity+"\n"), []byte(rows))
		if want == "" {
			require.NoError(t, err)
		} else {
			require.EqualError(t, err, want)
		}
	}
	const plain = "[[text]]\npick = \"#name\"\nvalue = \"Acer\"\n"
	for more, want := range map[string]int{"": 1, "[order]\nquantity = 4\n": 4} {
		_, parts := prepare(t, input(t, tag, plain+more), "")
		require.Len(t, parts, want)
	}
}

// A line a part, in columns two letters apart; a part that comes of no row has none.
func TestTableOfParts(t *testing.T) {
	const short = "[[text]]\npick = \"#name\"\nvalue = \"%\"\n" +
		"[[code]]\npick = \"#code\"\nkind = \"qr\"\nvalue = \"%\"\n"
	var out strings.Builder
	in := input(t, tag, "[data]\nfile = \"tags.csv\"\n"+strings.ReplaceAll(short, "%", "{n}"))
	setter, parts := prepare(t, in, "n\n7\n\n<3>\n")
	var set []personal.Part
	for _, p := range parts {
		one, wrong := setter.Set(p)
		require.Empty(t, wrong)
		set = append(set, one)
	}
	require.NoError(t, personal.WriteTable(&out, set))
	require.Equal(t, "PART  ROW  #name  SIZE     #code  MODULE\n"+
		"1     2    7      6.00 mm  7      0.55 mm\n"+
		"2     4    <3>    6.00 mm  <3>    0.55 mm\n", out.String())
	out.Reset()
	setter, parts = prepare(t, input(t, tag, strings.ReplaceAll(short, "%", "7")), "")
	one, wrong := setter.Set(parts[0])
	require.Empty(t, wrong)
	require.NoError(t, personal.WriteTable(&out, []personal.Part{one}))
	require.Contains(t, out.String(), "\n1     -    7 ")
}

package data_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/data"
)

func table(t *testing.T, csv string) data.Table {
	t.Helper()
	got, err := read(csv)
	require.NoError(t, err)
	return got
}

func TestPartsRepeatAndCount(t *testing.T) {
	rows := table(t, "species,quantity\nAcer,2\nTilia,1\n")
	counters := []data.Counter{{Name: "number", Start: 417, Digits: 4}, {Name: "back", Start: 30, Step: -10}}
	parts, p := data.Parts(rows, counters, data.Rules{Used: []string{"species", "number"}})
	require.NoError(t, p.Err())
	text, err := data.ParseTemplate("{species} {number}/{back}")
	require.NoError(t, err)
	var got []string
	for _, part := range parts {
		got = append(got, fmt.Sprint(part.Row, " ", text.Fill(part.Values)))
	}
	assert.Equal(t, []string{"2 Acer 0417/30", "2 Acer 0418/20", "3 Tilia 0419/10"}, got)

	parts, p = data.Parts(data.Table{}, counters[:1], data.Rules{Quantity: 3, Used: []string{"number"}})
	require.NoError(t, p.Err())
	require.Len(t, parts, 3)
	assert.Equal(t, "0419", parts[2].Values["number"])
}

// All problems of an order are told in one run.
func TestPartsTellEverything(t *testing.T) {
	rows := table(t, "species,number,quantity,note\nAcer,7,1,x\n,8,1,\nTilia,7,zero,\nAlnus,9,0,\nUlmus,10,2,\n")
	_, p := data.Parts(rows, []data.Counter{{Name: "n", Start: 98, Digits: 2}, {Name: "note"}}, data.Rules{
		Unique: []string{"number", "code"}, Used: []string{"species", "number", "name"},
	})
	require.Error(t, p.Err())
	assert.Equal(t, []string{
		`tags.csv: column "note": a counter has the name of a column or of another counter`,
		`tags.csv: {name} is neither a column nor a counter: there are species, number, quantity, note, n, note`,
		`tags.csv: there is no column "code" to be unique: there are species, number, quantity, note`,
		`tags.csv: row 3, column "species": the cell is empty`,
		`tags.csv: row 4, column "number": "7" is in row 2 already, and must be unique`,
		`tags.csv: row 4, column "quantity": "zero" is not a whole number from 1 to 20000`,
		`tags.csv: row 4: part 3: counter "n" outgrows its 2 digits at 100`,
		`tags.csv: row 5, column "quantity": "0" is not a whole number from 1 to 20000`,
		`tags.csv: row 6, column "number": it must be unique, and the row is made 2 times`,
	}, strings.Split(p.Error(), "\n"))
	warnings := 0
	for _, q := range p.List {
		if q.Warning {
			assert.Equal(t, `column "note": no placeholder uses it`, q.String())
			warnings++
		}
	}
	assert.Equal(t, 1, warnings)
}

func TestCountersEnd(t *testing.T) {
	_, err := data.Counter{Name: "n", Start: 1, Step: -1}.At(2)
	assert.EqualError(t, err, `counter "n" falls below 0`)
	got, err := data.Counter{Name: "n", Start: 1, Step: 5}.At(2)
	require.NoError(t, err)
	assert.Equal(t, "11", got)
}

// RFC 6570, section 1.2, level 1: a name in braces; an operator before it belongs to
// higher levels. The brace is our own.
func TestTemplates(t *testing.T) {
	values := map[string]string{"var": "value", "hello": "Hello World!", "Latin name": "Acer"}
	for in, want := range map[string]string{
		"{var}": "value", "x{hello}y": "xHello World!y", "plain": "plain", "": "", "a}b": "a}b",
		"{{var}": "{var}", "{{{var}}": "{value}", "{Latin name}-{var}": "Acer-value", "{missing}": "",
	} {
		text, err := data.ParseTemplate(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, text.Fill(values), in)
	}
	for in, want := range map[string]string{
		"{var": "not closed", "a {": "not closed", "{}": "{} is not a placeholder",
		"{+var}": "{+var} is not a placeholder",
		"{a{b}":  "{a{b} is not a placeholder", "{ var }": "is not a placeholder",
	} {
		_, err := data.ParseTemplate(in)
		assert.ErrorContains(t, err, want, in)
	}
	text, err := data.ParseTemplate("{a} {b} {a}")
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "b"}, text.Names())
}

func FuzzTemplate(f *testing.F) {
	f.Add("{{a}} {b}")
	f.Fuzz(func(t *testing.T, s string) {
		text, err := data.ParseTemplate(s)
		if err != nil && errors.Unwrap(err) != nil {
			t.Fatal(err)
		}
		text.Fill(nil)
	})
}

func TestNoProblemIsNoError(t *testing.T) {
	var none *data.Problems
	assert.NoError(t, none.Err())
	assert.NoError(t, (&data.Problems{}).Err())
}

// Two counters meet where a number is one of both, by lists of their numbers written out here.
func TestCountersThatMeet(t *testing.T) {
	up := data.Counter{Start: 417}             // 417, 418, 419
	down := data.Counter{Start: 425, Step: -2} // 425, 423, 421, 419
	odd := data.Counter{Start: 1, Step: 2}     // 1, 3, 5
	require.True(t, up.Meets(3, up, 3))
	require.True(t, up.Meets(3, down, 4))
	require.False(t, up.Meets(3, down, 3))
	require.False(t, up.Meets(2, down, 4))
	require.True(t, data.Counter{Start: 419}.Meets(1, up, 3))
	require.False(t, data.Counter{Start: 420}.Meets(9, up, 3))
	require.False(t, odd.Meets(50, data.Counter{Start: 2, Step: 2}, 50))
	require.False(t, odd.Meets(0, odd, 3))
}

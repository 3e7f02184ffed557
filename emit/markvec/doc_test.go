package markvec_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/emit/markvec/minimal"

	"github.com/stretchr/testify/require"
)

// docBlocks returns the indented blocks of the package's page.
func docBlocks(t *testing.T) []string {
	b, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	var blocks []string
	in := false
	for line := range strings.Lines(string(b)) {
		text, indented := strings.CutPrefix(line, "//\t")
		switch {
		case indented && in:
			blocks[len(blocks)-1] += text
		case indented:
			blocks = append(blocks, text)
		}
		in = indented
	}
	return blocks
}

func docLists(t *testing.T) []string {
	var lists []string
	for _, b := range docBlocks(t) {
		if strings.HasPrefix(b, "markvec 1\n") {
			lists = append(lists, b)
		}
	}
	return lists
}

func TestExamplesOfThePage(t *testing.T) {
	lists := docLists(t)
	require.Len(t, lists, 2)
	for i, us := range []float64{21600, 24565} {
		m, err := markvec.Read(strings.NewReader(lists[i]))
		require.NoError(t, err)
		r, err := clock.Run(m, machine.Profile{})
		require.NoError(t, err)
		p, err := minimal.Play(lists[i])
		require.NoError(t, err)
		require.Equal(t, p.Nanoseconds, r.Total().Nanoseconds())
		require.Equal(t, us, float64(p.Nanoseconds)/1000, "list %d", i)
		problems, err := markvec.Audit(strings.NewReader(lists[i]), nil, 9)
		require.NoError(t, err)
		require.Empty(t, problems)
	}
}

// grammar turns the ABNF of the page into a regular expression for whole lists.
// It knows as much of RFC 5234 and RFC 7405 as the page uses.
func grammar(t *testing.T) *regexp.Regexp {
	rules := map[string]string{"SP": " ", "LF": `\n`, "DIGIT": "[0-9]", "VCHAR": "[!-~]"}
	for _, b := range docBlocks(t) {
		if !strings.HasPrefix(b, "list ") {
			continue
		}
		b = regexp.MustCompile(`\n {12}`).ReplaceAllString(b, " ")
		for line := range strings.Lines(b) {
			name, def, ok := strings.Cut(line, "=")
			require.True(t, ok, line)
			rules[strings.TrimSpace(name)] = strings.TrimSpace(def)
		}
	}
	require.Len(t, rules, 4+16)
	core := map[string]bool{"SP": true, "LF": true, "DIGIT": true, "VCHAR": true}
	token := regexp.MustCompile(`^(\d*\*?\d*)(%s"[^"]*"|"[^"]*"|%x[0-9A-F]+-[0-9A-F]+|[A-Za-z]+|\(|\)|/)\s*`)
	var expand func(name string) string
	expand = func(name string) string {
		if core[name] {
			return rules[name]
		}
		def, ok := rules[name]
		require.True(t, ok, "rule %q", name)
		out, repeats := "", []string{}
		for def != "" {
			m := token.FindStringSubmatch(def)
			require.NotNil(t, m, "%q", def)
			def = def[len(m[0]):]
			switch w := m[2]; {
			case w == "(":
				out += "(?:"
				repeats = append(repeats, m[1])
				continue
			case w == ")":
				out += ")" + repeat(repeats[len(repeats)-1])
				repeats = repeats[:len(repeats)-1]
				continue
			case w == "/":
				out += "|"
				continue
			case strings.HasPrefix(w, "%x"):
				lo, hi, _ := strings.Cut(w[2:], "-")
				out += `[\x` + lo + `-\x` + hi + "]"
			case strings.Contains(w, `"`):
				out += regexp.QuoteMeta(strings.Trim(strings.TrimPrefix(w, "%s"), `"`))
			default:
				out += expand(w)
			}
			out += repeat(m[1])
		}
		return "(?:" + out + ")"
	}
	return regexp.MustCompile(`\A` + expand("list") + `\z`)
}

// repeat turns 3, *8 or * in front of an element into what follows it.
func repeat(r string) string {
	least, most, star := strings.Cut(r, "*")
	switch {
	case r == "":
		return ""
	case !star:
		return "{" + r + "}"
	case most == "":
		return "*"
	case least == "":
		least = "0"
	}
	return "{" + least + "," + most + "}"
}

// The grammar of the page and the reader agree: what is read matches it, and
// what is refused as a wrong form does not.
func TestGrammarOfThePage(t *testing.T) {
	re := grammar(t)
	for _, list := range docLists(t) {
		require.True(t, re.MatchString(list))
	}
	for seed := range uint64(10) {
		require.True(t, re.MatchString(encode(t, random(t, seed, 100), "a plate")))
	}
	for _, tt := range refused {
		_, err := records(sealed(tt.body))
		form := err != nil && (strings.Contains(err.Error(), "want") || strings.Contains(err.Error(), "unknown") ||
			strings.Contains(err.Error(), "more than its twelve keys") || strings.Contains(err.Error(), "printable"))
		switch {
		case err == nil:
			require.True(t, re.MatchString(sealed(tt.body)), "%q", tt.body)
		case form:
			require.False(t, re.MatchString(sealed(tt.body)), "%q", tt.body)
		}
	}
}

package fault_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"furrow/cmd/furrow/internal/fault"

	"github.com/stretchr/testify/require"
)

type hinted struct{ error }

func (hinted) Hint() string { return "try this" }

// What is printed, and the exit code: 1 for work that cannot be done, 2 for wrong usage.
func TestErrorsAreReported(t *testing.T) {
	plain := errors.New("it broke")
	for _, tt := range []struct {
		err  error
		code int
		want string
	}{
		{plain, 1, "furrow: error: it broke\n"},
		{fault.Workf("no room: %w", plain), 1, "furrow: error: no room: it broke\n"},
		{fault.Usagef("which file?"), 2, "furrow: error: which file?\n"},
		{fault.Usagef("which file?").Hintf("name %s", "one"), 2,
			"furrow: error: which file?\nfurrow: hint: name one\n"},
		{fmt.Errorf("part 2: %w", fault.Usagef("wrong").Hintf("mend it")), 2,
			"furrow: error: part 2: wrong\nfurrow: hint: mend it\n"},
		{hinted{plain}, 1, "furrow: error: it broke\nfurrow: hint: try this\n"},
		{fault.Usagef("a: %w", hinted{plain}), 2, "furrow: error: a: it broke\nfurrow: hint: try this\n"},
		{fault.Usagef("a: %w", hinted{plain}).Hintf("mine"), 2, "furrow: error: a: it broke\nfurrow: hint: mine\n"},
	} {
		var b bytes.Buffer
		require.Equal(t, tt.code, fault.Report(&b, tt.err))
		require.Equal(t, tt.want, b.String())
	}
	require.ErrorIs(t, fault.Workf("x: %w", plain), plain)
	var b bytes.Buffer
	fault.Report(&b, fmt.Errorf("making ro: %w", &fs.PathError{Op: "mkdir", Path: "ro", Err: fs.ErrPermission}))
	require.Contains(t, b.String(), "hint: you may not read or write there: name another place")
}

// A full disk has a way out, and what would change a terminal is not printed.
func TestWhatIsPrinted(t *testing.T) {
	var b bytes.Buffer
	fault.Report(&b, fmt.Errorf("writing a\x1b[2J\u009bb\t.nc: %w", syscall.ENOSPC))
	require.Equal(t, "furrow: error: writing a\ufffd[2J\ufffdb\ufffd.nc: no space left on device\n"+
		"furrow: hint: make room on the disk, or name a place on another\n", b.String())
	require.Equal(t, "a\nb é 銀", fault.Printable("a\nb é 銀"))
}

func TestFilesThatCannotBeRead(t *testing.T) {
	_, err := os.ReadFile(filepath.Join(t.TempDir(), "none.svg"))
	f := fault.Unreadable(err)
	require.ErrorContains(t, f, "no file ")
	require.Equal(t, "check the name and the folder", f.Hint)
	f = fault.Unreadable(&fs.PathError{Op: "read", Path: "tag.svg", Err: fs.ErrPermission})
	require.EqualError(t, f, "read tag.svg: permission denied")
	require.Empty(t, f.Hint)
	require.Equal(t, fault.CodeUsage, f.Code)
}

// A word of five letters or more may be two edits off, a shorter one one; else what
// begins like it; else all are listed, the first 24 of many.
func TestNamesAreSuggested(t *testing.T) {
	known := []string{"hatch", "check", "preview", "locate", "tune"}
	for name, want := range map[string]string{
		"hatch": "hatch", "hacht": "hatch", "htach": "hatch", "hxxxh": "", "tine": "tune", "tuen": "",
		"pre": "preview", "p": "", "pr": "preview",
		"chek": "check", "chk": "", "preveiw": "preview", "locating": "", "loc": "locate", "xyz": "",
	} {
		require.Equal(t, want, fault.Nearest(name, known), name)
	}
	require.Equal(t, `did you mean "hatch"?`, fault.Suggest("hach", known))
	require.Equal(t, "known are hatch, check, preview, locate, tune", fault.Suggest("xyz", known))
	require.Empty(t, fault.Suggest("xyz", nil))
	var many []string
	for i := range 26 {
		many = append(many, "recipe-"+strings.Repeat("x", i+3))
	}
	require.True(t, strings.HasSuffix(fault.Suggest("q", many), strings.Repeat("x", 26)+" and 2 more"))
	require.True(t, strings.HasSuffix(fault.Suggest("q", many[:25]), " and 1 more"))
	require.True(t, strings.HasSuffix(fault.Suggest("q", many[:24]), ", recipe-"+strings.Repeat("x", 26)))
}

// The middle of a long word goes, just as much as is needed; a message ends somewhere.
func TestShortByTheLetter(t *testing.T) {
	require.Equal(t, strings.Repeat("a", 300), fault.Short(strings.Repeat("a", 300)))
	word := strings.Repeat("a", 150) + "b" + strings.Repeat("c", 150)
	require.Equal(t, "x "+strings.Repeat("a", 150)+"..."+strings.Repeat("c", 147), fault.Short("x "+word))
	text := strings.Repeat("a ", 4000)
	require.Equal(t, text, fault.Short(text))
	require.Equal(t, text+"...", fault.Short(text+"a"))
}

// In a file there is no colour.
func TestNoColourInAFile(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "log"))
	require.NoError(t, err)
	fault.Say(f, "warning", "look out")
	require.False(t, fault.Terminal(f))
	require.NoError(t, f.Close())
	got, err := os.ReadFile(f.Name())
	require.NoError(t, err)
	require.Equal(t, "furrow: warning: look out\n", string(got))
	require.False(t, fault.Terminal(&bytes.Buffer{}))
}

// Several failures are told one after the other, those of several within too, with the exit
// code of the first; one is told as it is, and none is none.
func TestSeveralFailuresAtOnce(t *testing.T) {
	one, two, three := fault.Usagef("a"), errors.New("b"), fault.Usagef("c")
	require.NoError(t, fault.All())
	require.NoError(t, fault.All(nil, nil))
	require.Equal(t, error(one), fault.All(nil, one, nil))
	all := fault.All(fault.All(two, three), nil, one)
	require.EqualError(t, all, "b; c; a")
	require.ErrorIs(t, all, two)
	var out bytes.Buffer
	require.Equal(t, 1, fault.Report(&out, all))
	require.Equal(t, "furrow: error: b\nfurrow: error: c\nfurrow: error: a\n", out.String())
	require.Equal(t, 2, fault.Report(&out, fault.All(one, two)))
}

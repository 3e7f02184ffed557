package order

import (
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"

	"github.com/stretchr/testify/require"
)

// What a file says is read off its lines however they are cut into pieces: where each note
// stands, how many lines there are, and the last check sum.
func TestFactsOfAFile(t *testing.T) {
	const file = "(furrow)\n(part 1 pocket 1)\nG1 X1\n(part 10 pocket 2)\n(part 2 pocket 2) \nG1 X2 ; part 3\n" +
		"crc 01234567\n(whole 9 lines crc 89abcdef)\nM2\n"
	for size := 1; size <= len(file); size += 3 {
		f := newFacts([]emit.Note{{Text: "part 1 pocket 1"}, {Text: "part 2 pocket 2"}, {Text: "part 3"},
			{Text: "never"}})
		for rest := file; rest != ""; {
			n := min(size, len(rest))
			took, err := f.Write([]byte(rest[:n]))
			require.NoError(t, err)
			require.Equal(t, n, took)
			rest = rest[n:]
		}
		require.Equal(t, 9, f.lines)
		require.Equal(t, "89abcdef", f.crc)
		require.Equal(t, []int{2, 5, 6}, f.first)
		require.Equal(t, digest([]byte(file)), f.sum.hex())
		require.Equal(t, []int{2, 5, 5, 6, 0, 0}, f.firstLines([]run{{0, 1}, {1, 3}, {3, 4}, {4, 6}}))
	}
	f := newFacts(nil)
	_, err := f.Write([]byte("job 1\nend 12 0badcafe\n"))
	require.NoError(t, err)
	require.Equal(t, "0badcafe", f.crc)
}

// Names of what is kept: the last part on any platform, the role where that says nothing,
// and a number where it is taken.
func TestNamesOfWhatIsKept(t *testing.T) {
	for name, want := range map[string]string{
		"a.svg": "a.svg", "/x/y/a.svg": "a.svg", `C:\x\a.svg`: "a.svg", "": "artwork", "-": "artwork",
		"x/..": "artwork",
		"x/.":  "artwork", "x/": "artwork", "..a": "..a",
	} {
		require.Equal(t, want, base(name, Artwork), name)
	}
	taken := map[string]bool{}
	for _, want := range []string{"kept/a.b.svg", "kept/a.b-2.svg", "kept/a.b-3.svg"} {
		require.Equal(t, want, free("kept/a.b.svg", taken))
	}
	require.Equal(t, "kept/a", free("kept/a", taken))
	require.Equal(t, "kept/a-2", free("kept/a", taken))
	require.Equal(t, "../b/c.svg", seenFrom("/x/a", "/x/b/c.svg"))
	require.Equal(t, "c.svg", seenFrom("a", filepath.Join("a", "c.svg")))
	require.Equal(t, "job:7", fromWords("tags.toml:7", "tags.toml"))
	require.Equal(t, "recipe", fromWords("recipe", "tags.toml"))
	require.Equal(t, "tags.toml:7", fromWords("tags.toml:7", ""))
}

// The values of the whole have no group, those of the first pick are of group 1.
func TestValuesOfAJob(t *testing.T) {
	w, h, one, two := value.Length(20), value.Length(30), value.Number(100), value.Number(200)
	j := job.Resolved{Job: job.Job{Name: "tags.toml", Blank: job.Blank{Material: "slate", Width: &w, Height: &h},
		Artwork: job.Artwork{File: "tag.svg"}}}
	j.Fills = []job.ResolvedFill{
		{Spec: job.Fill{Speed: &one}, From: map[string]string{"speed_mm_s": "tags.toml:5"}},
		{Spec: job.Fill{Speed: &two, Power: &one}, From: map[string]string{"speed_mm_s": "recipe",
			"power_percent": "flag"}},
	}
	got := map[string]Value{}
	for _, v := range valuesOf(j) {
		got[v.Group+" "+v.Key] = v
	}
	group := work.GroupName(1)
	require.Equal(t, map[string]Value{
		" artwork.file":   {Key: "artwork.file", Value: "tag.svg", From: "job"},
		" blank.material": {Key: "blank.material", Value: "slate", From: "job"},
		" blank.width":    {Key: "blank.width", Value: "20mm", From: "job"}, " blank.height": {Key: "blank.height",
			Value: "30mm", From: "job"},
		" speed_mm_s":            {Key: "speed_mm_s", Value: "100", From: "job:5"},
		group + " speed_mm_s":    {Group: group, Key: "speed_mm_s", Value: "200", From: "recipe"},
		group + " power_percent": {Group: group, Key: "power_percent", Value: "100", From: "flag"},
	}, got)
}

// A run takes the place of loads of its own name alone.
func TestWhatARunTakesThePlaceOf(t *testing.T) {
	o := bare(t, "example-co2")
	var before Record
	for _, n := range []string{"load-01.nc", "load-12.nc", "load-1x.nc", "load-01.mvl", "part-3-01.nc", "proof.pdf",
		"loaded.nc"} {
		before.Outputs = append(before.Outputs, Output{Name: n, SHA256: "old"})
	}
	stale := o.stale(before)
	require.Equal(t, []string{"load-01.nc", "load-12.nc"}, stale)
	r := Record{Outputs: []Output{{Name: "proof.pdf"}, {Name: "load-01.nc"}}}
	r.addOld(before, stale)
	require.Equal(t, []Output{
		{Name: "load-01.mvl", SHA256: "old"}, {Name: "load-01.nc"}, {Name: "load-1x.nc", SHA256: "old"},
		{Name: "loaded.nc", SHA256: "old"}, {Name: "part-3-01.nc", SHA256: "old"}, {Name: "proof.pdf"},
	}, r.Outputs)
	require.Equal(t, "proof.pdf", o.named("proof.pdf"))
	o.Name = "part-3"
	require.Equal(t, "part-3-proof.pdf", o.named("proof.pdf"))
	require.Equal(t, []string{"part-3-01.nc"}, o.stale(before))
}

// Lines of parts.csv that nobody here wrote are refused.
func TestPartsThatAreNotAsMade(t *testing.T) {
	dir := t.TempDir()
	o := Old{Dir: dir}
	_, err := o.parts()
	require.Error(t, err)
	for text, want := range map[string]string{
		"part,load,pocket,file\n1,1,1\n": "wrong number of fields", "a,b,c\n1,1,1\n": "not as it was made",
		"part,load,pocket,file\n1,x,1,a.nc\n":    "not as it was made",
		"part,load,pocket,file\n1,1,1,../a.nc\n": "not as it was made",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"), []byte(text), 0o600))
		_, err := o.parts()
		require.ErrorContains(t, err, want, text)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"),
		[]byte("part,load,pocket,file\n1,4,1,a.nc\n2,4,2,a.nc\n"), 0o600))
	rows, err := o.parts()
	require.NoError(t, err)
	require.Equal(t, []partRow{{part: 1, load: 4, pocket: 1, file: "a.nc"},
		{part: 2, load: 4, pocket: 2, file: "a.nc"}}, rows)
	file, err := o.FileOfLoad(0)
	require.NoError(t, err)
	require.Equal(t, "a.nc", file)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"),
		[]byte("part,load,pocket,file\n7,2,1,b.nc\n"), 0o600))
	for _, load := range []int{0, 2} {
		file, err = o.FileOfLoad(load)
		require.NoError(t, err)
		require.Equal(t, "b.nc", file, "of a single part")
	}
	_, err = o.FileOfLoad(1)
	require.EqualError(t, err, "the order has 1 load, and no load 1")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "parts.csv"), nil, 0o600))
	rows, err = o.parts()
	require.NoError(t, err)
	require.Empty(t, rows)
}

// A file may be run by several loads, in the tables of more than one run of the order: each
// has its parts in the sequence of the table, and the pocket of each.
func TestWhichLoadsRunAFile(t *testing.T) {
	dir := t.TempDir()
	o := Old{Dir: dir}
	got, err := o.Fillings("a.nc")
	require.NoError(t, err)
	require.Empty(t, got, "without a table")
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("part,load,pocket,file\n"+text), 0o600))
	}
	write("parts.csv", "8,4,2,a.nc\n7,4,1,a.nc\n9,5,1,b.nc\n1,6,3,a.nc\n")
	write("redo-2-parts.csv", "9,7,2,a.nc\n")
	got, err = o.Fillings("a.nc")
	require.NoError(t, err)
	require.Equal(t, []Filling{
		{Load: 4, Parts: []int{8, 7}, In: map[int]int{2: 8, 1: 7}},
		{Load: 6, Parts: []int{1}, In: map[int]int{3: 1}},
		{Load: 7, Parts: []int{9}, In: map[int]int{2: 9}},
	}, got)
	got, err = o.Fillings("c.nc")
	require.NoError(t, err)
	require.Empty(t, got)
	write("redo-2-parts.csv", "9,7,x,a.nc\n")
	_, err = o.Fillings("a.nc")
	require.ErrorContains(t, err, "redo-2-parts.csv: not as it was made")
}

func TestNumbersOfPartsAreWritten(t *testing.T) {
	for want, all := range map[string][]int{
		"": nil, "7": {7}, "7-8": {7, 8}, "1-3,5,7-9,12": {1, 2, 3, 5, 7, 8, 9, 12}, "1,3,5": {1, 3, 5},
	} {
		require.Equal(t, want, NumbersText(all))
	}
}

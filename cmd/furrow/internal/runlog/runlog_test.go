package runlog_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/runlog"
	_ "furrow/path/overtime"
)

func run(note string) runlog.Run {
	return runlog.Run{
		Date: "2026-12-01", File: "load-01.nc", SHA256: "ab12", Machine: "mine", Profile: "0badcafe", Load: 1,
		Parts: "1-12",
		Predicted: runlog.Split{TotalS: 554.25, MarkS: 360,
			OvertravelS: 194.25}, MeasuredS: 561, Note: note, What: runlog.Ran,
	}
}

func TestLog(t *testing.T) {
	name := filepath.Join(t.TempDir(), "runs.csv")
	runs, damaged, err := runlog.Read(name)
	require.NoError(t, err)
	assert.Empty(t, runs)
	assert.Empty(t, damaged)

	odd := run("said \"hot\", then\nfine; ö")
	require.NoError(t, runlog.Append(name, run("")))
	require.NoError(t, runlog.Append(name, odd))
	runs, damaged, err = runlog.Read(name)
	require.NoError(t, err)
	assert.Empty(t, damaged)
	odd.Note = "said \"hot\", then fine; ö"
	assert.Equal(t, []runlog.Run{run(""), odd}, runs)

	info, err := os.Stat(name)
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		assert.Zero(t, info.Mode().Perm()&^0o644)
	}
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, "date,file,sha256,machine,profile,load,parts,predicted_s,mark_s,overtravel_s,turn_s,travel_s,"+
		"corner_s,jump_s,jump_delay_s,mark_delay_s,corner_delay_s,wait_s,measured_s,note,what\n"+
		"2026-12-01,load-01.nc,ab12,mine,0badcafe,1,1-12,554.25,360,194.25,,,,,,,,,561,,ran\n",
		strings.Join(strings.SplitAfter(string(data), "\n")[:2], ""))
}

func TestRefused(t *testing.T) {
	name := filepath.Join(t.TempDir(), "runs.csv")
	bad := run("")
	bad.MeasuredS = math.NaN()
	assert.Error(t, runlog.Append(name, bad))
	assert.Error(t, runlog.Append(name, runlog.Run{}))
	assert.NoFileExists(t, name)

	require.NoError(t, os.WriteFile(name, runlog.Heads(), 0o600))
	require.NoError(t, os.Truncate(name, 256<<20+1)) // of which the disk holds next to nothing
	_, _, err := runlog.Read(name)
	assert.EqualError(t, err, "the log is larger than 256 MB")
}

// A line that was cut, wherever, is named and left out; the others stay.
func TestDamaged(t *testing.T) {
	name := filepath.Join(t.TempDir(), "runs.csv")
	require.NoError(t, runlog.Append(name, run("a, b")))
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	head := strings.Index(string(whole), "\n") + 1
	for cut := head + 1; cut < len(whole)-1; cut++ {
		require.NoError(t, os.WriteFile(name, whole[:cut], 0o600))
		require.NoError(t, runlog.Append(name, run("next")))
		runs, damaged, err := runlog.Read(name)
		require.NoError(t, err)
		require.Len(t, damaged, 1, "cut at %d", cut)
		require.Equal(t, 2, damaged[0].Line)
		require.Equal(t, []runlog.Run{run("next")}, runs)
	}
}

// Each number and text stands in the column of its name, in the words of the file.
func TestColumnsHoldWhatTheySay(t *testing.T) {
	name := filepath.Join(t.TempDir(), "runs.csv")
	heads := strings.TrimSuffix(string(runlog.Heads()), "\n")
	row := "2026-12-01,a.nc,ab,m,p,7,1-2,1.5,2.5,3.5,4.5,5.5,6.5,7.5,8.5,9.5,10.5,11.5,12.5,hm,dry"
	require.NoError(t, os.WriteFile(name, []byte(heads+"\r\n"+row+"\r\n\n"), 0o600))
	runs, damaged, err := runlog.Read(name)
	require.NoError(t, err)
	require.Empty(t, damaged)
	want := runlog.Run{
		Date: "2026-12-01", File: "a.nc", SHA256: "ab", Machine: "m", Profile: "p", Load: 7, Parts: "1-2",
		Predicted: runlog.Split{
			TotalS: 1.5, MarkS: 2.5, OvertravelS: 3.5, TurnS: 4.5, TravelS: 5.5, CornerS: 6.5, JumpS: 7.5,
			JumpDelayS: 8.5,
			MarkDelayS: 9.5, CornerDelayS: 10.5, WaitS: 11.5,
		},
		MeasuredS: 12.5, Note: "hm", What: runlog.Dry,
	}
	require.Equal(t, []runlog.Run{want}, runs)
	other := filepath.Join(t.TempDir(), "other.csv")
	require.NoError(t, runlog.Append(other, want))
	data, err := os.ReadFile(other)
	require.NoError(t, err)
	require.Equal(t, heads+"\n"+row+"\n", string(data))
}

// What is wrong with a line is said, with its number; heads further down are a line.
func TestWrongLinesAreNamed(t *testing.T) {
	heads := strings.TrimSuffix(string(runlog.Heads()), "\n")
	good := "2026-12-01,a.nc,ab,m,p,7,1-2,1.5,,,,,,,,,,,,,ran"
	for line, want := range map[string]string{
		good + ",": "line 3: 22 values instead of 21", strings.Replace(good, ",7,", ",x,",
			1): `line 3: load: "x" is not a number`,
		strings.Replace(good, "1.5", "1,5", 1): "line 3: 22 values instead of 21", strings.Replace(good, "1.5", "1h",
			1): `line 3: predicted_s: "1h" is not a number`,
		strings.Replace(good, "1.5", "-1", 1): "line 3: predicted_s: -1 is no time", strings.Replace(good, "1.5",
			"+Inf", 1): "line 3: predicted_s: +Inf is no time",
		strings.Replace(good, "ran", "run", 1): `line 3: "run" is no kind of line of a log`,
		heads:                                  `line 3: load: "load" is not a number`,
	} {
		name := filepath.Join(t.TempDir(), "runs.csv")
		require.NoError(t, os.WriteFile(name, []byte(heads+"\n"+good+"\n"+line+"\n"+good+"\n"), 0o600))
		runs, damaged, err := runlog.Read(name)
		require.NoError(t, err)
		require.Len(t, runs, 2)
		require.Len(t, damaged, 1)
		require.EqualError(t, damaged[0], want)
	}
	for _, what := range []runlog.What{runlog.Ran, runlog.Dry, runlog.Stopped, runlog.Doubtful, runlog.Accepted,
		runlog.Withdrawn} {
		require.NoError(t, runlog.Append(filepath.Join(t.TempDir(), "runs.csv"), runlog.Run{What: what}))
	}
}

// A line that a later one withdraws does not stand, nor does the later one: of two that are
// alike one stands, and what stands behind the withdrawal is another run.
func TestWithdrawn(t *testing.T) {
	name := filepath.Join(t.TempDir(), "runs.csv")
	wrong := run("a slip")
	wrong.MeasuredS, wrong.What = 0.25, runlog.Doubtful
	withdrawal := wrong
	withdrawal.What, withdrawal.Note = runlog.Withdrawn, "the wrong watch"
	for _, r := range []runlog.Run{run("1"), wrong, run("2"), withdrawal, withdrawal, wrong} {
		require.NoError(t, runlog.Append(name, r))
	}
	runs, damaged, err := runlog.Read(name)
	require.NoError(t, err)
	require.Empty(t, damaged)
	require.Equal(t, []runlog.Run{run("1"), run("2"), wrong}, runs)
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, 7, strings.Count(string(data), "\n"), "nothing is taken out of the file")

	again := run("")
	again.What = runlog.Withdrawn
	require.NoError(t, runlog.Append(name, again))
	runs, _, err = runlog.Read(name)
	require.NoError(t, err)
	require.Equal(t, []runlog.Run{run("1"), wrong}, runs, "the last of two that are alike goes")

	name = filepath.Join(t.TempDir(), "runs.csv")
	for _, r := range []runlog.Run{wrong, withdrawal} {
		require.NoError(t, runlog.Append(name, r))
	}
	runs, _, err = runlog.Read(name)
	require.NoError(t, err)
	require.Empty(t, runs, "the only one")
}

// Writers that run at once, and are killed at random moments, lose no run that
// they said was written.
func TestWritersAtOnce(t *testing.T) {
	if name := os.Getenv("FURROW_TEST_LOG"); name != "" {
		for i := 0; ; i++ {
			if err := runlog.Append(name, run(fmt.Sprint(os.Getpid(), " ", i))); err != nil {
				t.Fatal(err)
			}
			fmt.Println("wrote", os.Getpid(), i)
		}
	}
	kills := 200
	if testing.Short() {
		kills = 10
	}
	name := filepath.Join(t.TempDir(), "runs.csv")
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	said := 0
	for n := 0; n < kills/2 || said == 0 && n < 1000; n++ { // on a busy machine the first may die before they write
		var out [2]strings.Builder
		var c [2]*exec.Cmd
		for i := range c {
			c[i] = exec.Command(os.Args[0], "-test.run=^TestWritersAtOnce$")
			c[i].Env = append(os.Environ(), "FURROW_TEST_LOG="+name)
			c[i].Stdout = &out[i]
			require.NoError(t, c[i].Start())
		}
		for i := range c {
			time.Sleep(time.Duration(r.IntN(15_000)) * time.Microsecond)
			require.NoError(t, c[i].Process.Kill())
		}
		for i := range c {
			c[i].Wait()
			said += strings.Count(out[i].String(), "wrote ")
		}
	}
	runs, damaged, err := runlog.Read(name)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(damaged), kills, "seed %d", seed)
	assert.GreaterOrEqual(t, len(runs), said, "seed %d", seed)
	assert.Positive(t, said)
	seen := map[string]bool{}
	for _, r := range runs {
		assert.False(t, seen[r.Note], r.Note)
		seen[r.Note] = true
	}
}

func FuzzRead(f *testing.F) {
	f.Add("2026-12-01,load-01.nc,ab12,mine,0badcafe,1,1-12,554.25,360,194.25,,,,,,,,,561,,ran\n")
	f.Fuzz(func(t *testing.T, text string) {
		name := filepath.Join(t.TempDir(), "runs.csv")
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		runs, _, err := runlog.Read(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range runs {
			if r.What == "" || math.IsNaN(r.MeasuredS) {
				t.Fatalf("%+v", r)
			}
		}
	})
}

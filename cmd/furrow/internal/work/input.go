package work

import (
	"context"

	"furrow/cmd/furrow/internal/job"
	"furrow/path/hatch"
)

// Input is all that work is made from.
type Input struct {
	job.Resolved
	Drawing Drawing
	Groups  []hatch.Group // how the fills of the job are hatched, settings as the machine's file has them
	Turned  bool          // the part lies turned by a quarter on the machine
	Cells   int           // into how many the rows are cut, and marked far apart in turn; 0: as they come
	Bound   *Rounds       // nil where no bound on the travel is asked for
	Times   int           // how often it is marked: what looking for a sequence is worth; 0: once
	Aside   bool          // the strokes are moved before they are planned, and whether they fit is judged then
	Lenient bool          // what the machine cannot do is a warning: the work is to be looked at
	Observe Observer
}

// NewInput returns the input of a resolved job as it is.
func NewInput(j job.Resolved, d Drawing) Input {
	return Input{Resolved: j, Drawing: d, Groups: groups(j)}
}

// Observer is told how the work goes on. Its zero value hears nothing.
type Observer struct {
	// Stage does a step of the work that has a name.
	Stage func(name string, step func() error) error
	// Search is called when the search for a short sequence begins. The context ends
	// when the best so far will do; progress and end are called on the way and behind
	// it.
	Search func() (ctx context.Context, progress func(done, total int), end func())
}

// Run does a step of the work, and tells the observer.
func (o Observer) Run(name string, step func() error) error {
	if o.Stage == nil {
		return step()
	}
	return o.Stage(name, step)
}

func (o Observer) search() (context.Context, func(done, total int), func()) {
	if o.Search == nil {
		return context.Background(), nil, func() {}
	}
	return o.Search()
}

// forGalvo reports that the work is for a machine with mirrors.
func (in Input) forGalvo() bool { return in.Machine != nil && in.Machine.IsGalvo() }

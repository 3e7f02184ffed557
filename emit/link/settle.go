package link

import "time"

// With a window, answers are counted and name no line: of a lost one nothing is seen while
// others follow it. So every few seconds, at a place with the beam off, no more is sent
// until all is answered: an answer that is missing then is missing for good. The controller
// does not run dry meanwhile: it holds the moves that it has answered.

// settleEvery is how much of the file's time passes from one count to the next, and twice
// as much where the beam comes on in every line behind one that leaves it off: a head that
// the count should hold up stands best where nothing is marked next.
const settleEvery = 5 * time.Second

// settles reports that nothing more is to be sent until every line under way is answered.
func (r *run) settles() bool {
	switch {
	case len(r.under) == 0:
		r.settled = r.sent
		return false
	case r.protocol.WindowBytes == 0 || r.sent == 0 || !r.job.Lines[r.sent-1].Dark:
		return false
	}
	since := r.job.Lines[r.sent-1].Until
	if r.settled > 0 {
		since -= r.job.Lines[r.settled-1].Until
	}
	darkNext := r.sent == len(r.job.Lines) || r.job.Lines[r.sent].Dark
	return since >= 2*settleEvery || since >= settleEvery && darkNext
}

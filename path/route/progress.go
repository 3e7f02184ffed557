package route

import "sync"

// progress tells how many of all strokes have been sequenced, counting a phase
// as done by the share of its disturbances; where a bound is asked for too, each
// counts once more by the share of iterations.
type progress struct {
	mu            sync.Mutex
	report        func(done, total int) // may be nil
	before, total int                   // strokes of the phases before, and of all
	strokes       int                   // of this phase
	kicks, of     int                   // or iterations, of this phase, done and in all
}

// phase begins another phase.
func (p *progress) phase(strokes, kicks int) {
	p.before += p.strokes
	p.strokes, p.kicks, p.of = strokes, 0, max(1, kicks)
	p.add(0)
}

// add may be called from any goroutine.
func (p *progress) add(kicks int) {
	if p.report == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.kicks += kicks
	share := float64(p.strokes) * min(1, float64(p.kicks)/float64(p.of))
	p.report(p.before+int(share), p.total)
}

package main

import (
	"path/filepath"
	"sync"
	"time"

	"furrow/cmd/furrow/internal/journal"
	"furrow/emit/link"
)

// keeper keeps how far a file came, once a second and at its end. A disk may take its
// time: that never holds up the run.
type keeper struct {
	s     *sending
	logs  []string // whole names, since the next program may be run elsewhere
	began time.Time
	taken chan struct{} // told when the first line is taken
	stop  chan struct{}
	idle  chan struct{} // closed when nothing is written any more

	sync.Mutex // over what follows
	held       time.Duration
	since      time.Time // of a hold; zero without one
	state      link.State
	stood      time.Time // since when the next line that is taken is one that waits for the operator
	stoodAt    int       // how many had been taken then
}

func newKeeper(s *sending) *keeper {
	k := &keeper{s: s, began: time.Now(), taken: make(chan struct{}, 1), stop: make(chan struct{}),
		idle: make(chan struct{})}
	logs, _ := runLogs(s.Name, s.Machine.ID) // where none can be written nothing is pending
	for _, l := range logs {
		if whole, err := filepath.Abs(l); err == nil {
			k.logs = append(k.logs, whole)
		}
	}
	go k.keep()
	return k
}

// keptEvery is how often the place is written down while a file runs.
const keptEvery = time.Second

// keep writes the place down once a second, whether anything is heard or not: a machine
// moves on while its controller says nothing, and may wait for a person for hours.
func (k *keeper) keep() {
	defer close(k.idle)
	tick := time.NewTicker(keptEvery)
	defer tick.Stop()
	var last [3]int
	for {
		select {
		case <-k.stop:
			return
		case <-k.taken:
		case <-tick.C:
		}
		e := k.now()
		if at := [3]int{e.Taken, e.Sent, e.Done}; e.Taken > 0 && at != last {
			e.Pending = &journal.Pending{Logs: k.logs, Run: k.s.cutShort(e.Taken, e.Done)}
			k.write(e)
			last = at
		}
	}
}

// now is where the file is.
func (k *keeper) now() journal.Entry {
	k.Lock()
	defer k.Unlock()
	now := time.Now()
	ran := now.Sub(k.began) - k.held
	if !k.since.IsZero() {
		ran -= now.Sub(k.since)
	}
	return k.entry(ran)
}

func (k *keeper) note(st link.State) {
	k.Lock()
	defer k.Unlock()
	now := time.Now()
	if holding := st.Phase == link.Held || st.Phase == link.Waiting; holding && k.since.IsZero() {
		k.since = now
	} else if !holding && !k.since.IsZero() {
		k.held, k.since = k.held+now.Sub(k.since), time.Time{}
	}
	if st.Phase == link.Waiting && k.state.Phase != link.Waiting {
		k.stood, k.stoodAt = now, st.Taken
	}
	if k.state.Taken == 0 && st.Taken > 0 {
		k.taken <- struct{}{}
	}
	k.state = st
}

// entry is how far the file is that has run for so long. Before a line that waits the machine
// does what it has taken, however long the operator then takes.
func (k *keeper) entry(ran time.Duration) journal.Entry {
	if k.stoodAt > 0 && k.state.Taken == k.stoodAt {
		ran += time.Since(k.stood)
	}
	return journal.Entry{File: k.s.Name, SHA256: k.s.sum, Taken: k.state.Taken, Sent: k.state.Sent,
		Done: k.s.job.DoneAt(k.state.Taken, ran)}
}

// write writes a place down. A dry run marks nothing, and has no rest. That a disk is full
// is no reason to stop a machine.
func (k *keeper) write(e journal.Entry) {
	if !k.s.dry && !k.s.unkept {
		_ = journal.Keep(k.s.Machine.ID, e)
	}
}

// end returns the last line that the machine was done with.
func (k *keeper) end(err error, report link.Report) (done int) {
	close(k.stop)
	<-k.idle
	switch {
	case err != nil && report.Taken > 0:
		k.state.Taken = report.Taken
		e := k.entry(report.Took)
		e.Sent, e.Ended = report.Sent, true
		k.write(e)
		return e.Done
	case err == nil && !k.s.dry && !k.s.unkept:
		_ = journal.Forget(k.s.Machine.ID)
	}
	return report.Taken
}

package main

import (
	"time"

	"furrow/cmd/furrow/internal/journal"
	"furrow/emit/link"
)

// keeper keeps how far a file came, once a second and at its end. A disk may take its
// time: that never holds up the run.
type keeper struct {
	s     *sending
	began time.Time
	held  time.Duration
	since time.Time // of a hold; zero without one
	last  time.Time
	state link.State
	next  chan journal.Entry
	idle  chan struct{} // closed when nothing is written any more
}

func newKeeper(s *sending) *keeper {
	k := &keeper{s: s, began: time.Now(), next: make(chan journal.Entry, 1), idle: make(chan struct{})}
	go func() {
		defer close(k.idle)
		for e := range k.next {
			k.write(e)
		}
	}()
	return k
}

// keptEvery is how often the place is written down while a file runs.
const keptEvery = time.Second

func (k *keeper) note(st link.State) {
	now := time.Now()
	if holding := st.Phase == link.Held || st.Phase == link.Waiting; holding && k.since.IsZero() {
		k.since = now
	} else if !holding && !k.since.IsZero() {
		k.held, k.since = k.held+now.Sub(k.since), time.Time{}
	}
	k.state = st
	if now.Sub(k.last) < keptEvery || st.Taken == 0 {
		return
	}
	k.last = now
	select {
	case k.next <- k.entry(now.Sub(k.began) - k.held):
	default: // the one before is being written yet
	}
}

func (k *keeper) entry(ran time.Duration) journal.Entry {
	return journal.Entry{File: k.s.Name, SHA256: k.s.sum, Taken: k.state.Taken, Sent: k.state.Sent,
		Done: k.s.job.DoneAt(k.state.Taken, ran)}
}

// write writes a place down. A dry run marks nothing, and has no rest. That a disk is full
// is no reason to stop a machine.
func (k *keeper) write(e journal.Entry) {
	if !k.s.dry {
		_ = journal.Keep(k.s.Machine.ID, e)
	}
}

func (k *keeper) end(err error, report link.Report) {
	close(k.next)
	<-k.idle
	switch {
	case err != nil && report.Taken > 0:
		e := k.entry(report.Took)
		e.Sent, e.Ended = report.Sent, true
		k.write(e)
	case err == nil && !k.s.dry:
		_ = journal.Forget(k.s.Machine.ID)
	}
}

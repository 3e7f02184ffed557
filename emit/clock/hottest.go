package clock

import (
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Hottest is the stroke that gets the most energy for its length beside what was asked
// for, on a machine whose power stays while the head slows down: at corners, from rest
// and to rest, or where it has to wait.
type Hottest struct {
	At      path.Point // where the stroke begins, mm
	Times   float64    // what was asked for; 0 where the power follows the speed
	Setting uint16
	Power   float64
}

// hottest finds it while the moves are played.
type hottest struct {
	spot    float64 // width of the beam, mm
	strokes emit.Strokes
	now     Hottest
	took    time.Duration // of the stroke so far
	asked   float64       // seconds that it would take at speed
	length  float64       // mm
	most    Hottest
}

// newHottest returns nil for a machine whose power follows the speed.
func newHottest(p machine.Profile) *hottest {
	if p.Controller().PowerMode != machine.PowerSteady {
		return nil
	}
	return &hottest{spot: min(p.Laser.SpotMM[0], p.Laser.SpotMM[1])}
}

// add takes the next move, from a place, of a length that takes so long.
func (h *hottest) add(mv *emit.Move, from path.Point, s stretch) {
	i, begins := h.strokes.Next(mv)
	if i < 0 || begins {
		h.close()
	}
	if begins {
		h.now = Hottest{At: from, Setting: mv.Setting, Power: mv.Power}
	}
	if i >= 0 && mv.Speed > 0 {
		h.took += s.time
		h.length += s.mm
		h.asked += s.mm / mv.Speed
	}
}

// close ends the stroke. What it gets is spread over its length and the width of the
// beam, so that a short one is not judged by its length alone.
func (h *hottest) close() {
	if h.length > 0 {
		h.now.Times = h.took.Seconds() / (h.asked * (1 + h.spot/h.length))
		if h.now.Times > h.most.Times {
			h.most = h.now
		}
	}
	h.took, h.asked, h.length = 0, 0, 0
}

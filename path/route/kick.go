package route

import (
	"context"
	"math/rand/v2"
)

// kicker improves a settled tour further: it disturbs it in one place, settles
// it again, and takes both back where the travel has grown.
type kicker struct {
	*search
	rng  *rand.Rand
	span int // how far apart the cuts of a disturbance are at most
}

func newKicker(s *search, seed uint64) *kicker {
	k := &kicker{search: s, span: min(kickSpan, len(s.seq)/3)}
	k.rng = rand.New(rand.NewPCG(seed, uint64(len(s.seq))))
	return k
}

// kickSpan is how far apart the cuts of a disturbance are at most, in items.
const kickSpan = 50

// budget is how much to disturb a sequence.
type budget struct {
	kicks int     // at most
	looks int     // at most, counting from the first kick; 0: any number
	worth float64 // what a look has to save on average, over a batch of kicks, for another one
}

// part returns n of the parts of a budget.
func (b budget) part(n, of int) budget {
	b.kicks = b.kicks * n / of
	if b.looks > 0 {
		b.looks = max(1, b.looks*n/of)
	}
	return b
}

// batch is how many kicks are made before what they saved is looked at, or how many looks:
// a closed line of many points takes a thousand to turn.
const (
	batch      = 512
	batchLooks = 100_000
)

// run kicks until the budget or ctx ends, or it pays no longer.
func (k *kicker) run(ctx context.Context, b budget, progress func(kicks int)) {
	k.keep = true
	stop := func() bool { return ctx.Err() != nil }
	most, before, saved, made := k.looks+b.looks, k.looks, 0.0, 0
	for i := range b.kicks {
		made++
		if i%batch == batch-1 || k.looks-before >= batchLooks {
			progress(made)
			// Without a worth it goes on: what kicks saved may be a little below 0 by rounding.
			pays := b.worth == 0 || saved >= b.worth*float64(k.looks-before)
			if stop() || !pays || b.looks > 0 && k.looks > most {
				progress(b.kicks - 1 - i)
				return
			}
			before, saved, made = k.looks, 0, 0
		}
		saved += k.once(stop)
	}
}

// once disturbs the tour, settles it again, and returns what that gained.
func (k *kicker) once(stop func() bool) float64 {
	k.gained = 0
	k.kick()
	if len(k.seq) <= fewItems { // far enough to reach every other minimum
		for range k.rng.IntN(4) << k.rng.IntN(3) {
			k.kick()
		}
	}
	if !k.settle(stop) || k.gained < -k.eps || k.gained <= k.eps && len(k.seq) <= fewItems {
		k.rollback()
		k.clearQueue()
		k.gained = 0
	}
	k.commit()
	return k.gained
}

// fewItems is up to how many items also single ones are turned at random.
const fewItems = 16

// kick swaps two neighbouring runs of items, or turns one item.
func (k *kicker) kick() {
	p := k.hot()
	if n := len(k.seq); n < 3 || k.rng.IntN(4) == 0 || n <= fewItems && k.rng.IntN(2) == 0 {
		k.turnAny(p)
	} else {
		k.swap(p)
	}
}

// turnAny marks the item at a position in any way, if there are several or few
// items.
func (k *kicker) turnAny(p int) {
	item := k.seq[p] >> 1
	if 2*item >= k.depot {
		return
	}
	c := k.work.cells[item]
	n := k.work.variants(c)
	if n < 2 && len(k.seq) > fewItems {
		return
	}
	v, side := k.rng.Int32N(n), k.rng.Int32N(2)
	if k.work.directed(c) {
		side = 0
	}
	k.gained += k.itemCost(item, k.variant[item], k.seq[p]&1) - k.itemCost(item, v, side)
	k.turn(item, v, side)
}

// swap swaps two runs of items behind a position.
func (k *kicker) swap(p int) {
	n := len(k.seq)
	a := 1 + k.rng.IntN(k.span)
	b := 1 + k.rng.IntN(k.span)
	cuts := [3]int{p, (p + a) % n, (p + a + b) % n}
	var left, right [3]int32
	for i, c := range cuts {
		left[i], right[i] = k.seq[c]^1, k.seq[(c+1)%n]
	}
	k.x.t = [2 * maxCuts]int32{left[0], right[0], left[2], right[2], left[1], right[1]}
	gain := 0.0
	for i := range 3 {
		gain += k.edge(left[i], right[i]) - k.edge(left[i], right[(i+1)%3])
	}
	k.exchange(3, gain)
}

// hot returns a position behind which the travel is more than it need be,
// which is where a disturbance may lead somewhere.
func (k *kicker) hot() int {
	n := len(k.seq)
	p := k.rng.IntN(n)
	if n <= fewItems {
		return p
	}
	for range 50 {
		p = k.rng.IntN(n)
		e := k.seq[p] ^ 1
		near := k.near.of(e)
		if len(near) == 0 {
			continue
		}
		if k.edge(e, k.link(e)) > 1.2*k.edge(e, near[0]) {
			break
		}
	}
	return p
}

func (k *kicker) clearQueue() {
	for k.count > 0 {
		k.queued[k.queue[k.head]] = false
		if k.head++; k.head == len(k.queue) {
			k.head = 0
		}
		k.count--
	}
}

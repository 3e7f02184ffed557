package tune

import (
	"slices"

	"furrow/emit/machine"
)

// knob is a value that can be turned.
type knob struct {
	key, what string
	get       func(machine.Profile) float64
	set       func(machine.Profile, float64) machine.Profile
	least     float64 // what stands for 0
}

// knobs lists those of a machine.
func knobs(p machine.Profile) []knob {
	if p.IsGalvo() {
		return galvoKnobs(p)
	}
	all := []knob{gantryKnob("gantry.corner_error_mm", "corner error", 1e-4, func(g *machine.Gantry) []*float64 {
		return []*float64{&g.CornerErrorMM}
	})}
	if p.Gantry.AccelAlongPath {
		return append(all, gantryKnob("gantry.accel_mm_s2", "acceleration", 1, func(g *machine.Gantry) []*float64 {
			return []*float64{&g.AccelMMPerS2[0], &g.AccelMMPerS2[1]}
		}))
	}
	for i, axis := range []string{"X", "Y"} {
		all = append(all, gantryKnob("gantry.accel_mm_s2", "acceleration in "+axis, 1,
			func(g *machine.Gantry) []*float64 {
				return []*float64{&g.AccelMMPerS2[i]}
			}))
	}
	slices.Reverse(all)
	return all
}

func gantryKnob(key, what string, least float64, at func(*machine.Gantry) []*float64) knob {
	return knob{key: key, what: what, least: least,
		get: func(p machine.Profile) float64 { return max(least, *at(p.Gantry)[0]) },
		set: func(p machine.Profile, v float64) machine.Profile {
			g := *p.Gantry
			for _, to := range at(&g) {
				*to = v
			}
			p.Gantry = &g
			return p
		},
	}
}

// galvoKnobs are jump speed and delays; those that follow from a lag are not turned.
func galvoKnobs(p machine.Profile) []knob {
	all := []knob{galvoKnob("galvo.jump_speed_mm_s", "jump speed", 1, func(g *machine.Galvo) *float64 {
		return &g.JumpSpeedMMPerS
	})}
	if p.Galvo.TrackingLagUS > 0 {
		return append(all, galvoKnob("galvo.tracking_lag_us", "tracking lag", 1, func(g *machine.Galvo) *float64 {
			return &g.TrackingLagUS
		}))
	}
	return append(all,
		galvoKnob("galvo.jump_delay_us", "jump delay", 1, func(g *machine.Galvo) *float64 { return &g.JumpDelayUS }),
		galvoKnob("galvo.short_jump_delay_us", "short jump delay", 1, func(g *machine.Galvo) *float64 {
			return &g.ShortJumpDelayUS
		}),
		galvoKnob("galvo.mark_delay_us", "mark delay", 1, func(g *machine.Galvo) *float64 { return &g.MarkDelayUS }),
		galvoKnob("galvo.corner_delay_us", "corner delay", 1, func(g *machine.Galvo) *float64 {
			return &g.CornerDelayUS
		}),
	)
}

func galvoKnob(key, what string, least float64, at func(*machine.Galvo) *float64) knob {
	return knob{key: key, what: what, least: least,
		get: func(p machine.Profile) float64 { return max(least, *at(p.Galvo)) },
		set: func(p machine.Profile, v float64) machine.Profile {
			g := *p.Galvo
			*at(&g) = v
			g.ShortJumpDelayUS = min(g.ShortJumpDelayUS, g.JumpDelayUS)
			p.Galvo = &g
			return p
		},
	}
}

package world

import "math/rand/v2"

// lossBehaviour is how a receiver takes the loss of its signal: what the seed made of
// its plan. Times are ns.
type lossBehaviour struct {
	after   int64 // from the last packet to failsafe
	misses  int64 // from the last packet to the frame-lost flag
	flagged int64 // from the last packet to the failsafe flag
	holds   int64 // from failsafe to leaving the last values
	ramp    int64 // from the last values to the presets
	regain  int64 // from the first packet back to the end of failsafe
	teach   int64 // from lesson to lesson, see presetSender
	presets map[int]uint16
}

func newLossBehaviour(s *Script, plan *tapPlan, rng *rand.Rand) lossBehaviour {
	t := lossBehaviour{presets: map[int]uint16{}}
	t.after = plan.after.draw(rng)
	t.misses = max(plan.misses.draw(rng), s.packets+overdue)
	t.flagged = max(plan.flagged.draw(rng), t.after)
	t.holds = plan.holds.draw(rng)
	t.ramp = plan.ramp.draw(rng)
	t.regain = plan.regain.draw(rng)
	t.teach = plan.teach.draw(rng)
	for number := range numbers { // in order, so that a seed gives them all
		if preset, has := plan.presets[number]; has {
			t.presets[number] = uint16(preset.draw(rng))
		}
	}
	return t
}

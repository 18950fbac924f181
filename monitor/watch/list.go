// Package watch lists the watchers: small state machines that turn what a tap
// yields into dated events. One file each, one line each in For.
//
// A watcher keeps plain exported fields and no closures or timers, so that a
// checkpoint is its JSON. Its only clock is the date of what it sees and the
// deadlines it asks for. It compares counts and nanoseconds, never floats.
package watch

import (
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
	"benchproof.example/monitor/watch/leads"
	"benchproof.example/monitor/watch/link"
	"benchproof.example/monitor/watch/tilt"
)

// For lists the watchers of a sheet over the taps of a view, in the order in
// which they see: those that inform the view come before those that read it.
func For(v *base.View) (list []base.Listed) {
	list = append(list, base.Listed{Watcher: &base.SessionEvents{}, Alone: base.NoTap})
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "bus" {
			list = append(list, alone(uint8(i), forBus(v, uint8(i)))...)
		}
	}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "pulses" {
			list = append(list, alone(uint8(i), forOutputs(uint8(i)))...)
			list = append(list, alone(0, againstBus(uint8(i)))...)
		}
	}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "tilt" {
			list = append(list, alone(uint8(i), forPhone(uint8(i)))...)
		}
	}
	return list
}

// forPhone are those of a tap on a phone.
func forPhone(tap uint8) []base.Watcher {
	return []base.Watcher{
		&tilt.Phone{Tap: tap},
		&tilt.Rests{Tap: tap},
		&tilt.Laying{Tap: tap},
	}
}

// alone lists watchers that look at the bytes of one tap alone, 0 for all.
func alone(tap uint8, watchers []base.Watcher) (list []base.Listed) {
	for _, w := range watchers {
		list = append(list, base.Listed{Watcher: w, Alone: tap})
	}
	return list
}

// forOutputs are those of a tap on servo leads that look at its pulses alone.
func forOutputs(tap uint8) []base.Watcher {
	return []base.Watcher{
		&leads.Board{Tap: tap},
		&leads.OutputSilence{Tap: tap},
		&leads.OutputWidth{Tap: tap},
	}
}

// againstBus are those that hold what outputs do against the bus. What they know of it, the
// watchers of the bus have found out before.
func againstBus(tap uint8) []base.Watcher {
	return []base.Watcher{
		&leads.OutputJitter{Tap: tap},
		&leads.OutputUnsteady{Tap: tap},
		&leads.OutputFollows{Tap: tap},
		&leads.OutputClip{Tap: tap},
		&leads.OutputLoss{Tap: tap},
		&leads.OutputTravel{Tap: tap},
		&leads.OutputNeutral{Tap: tap},
	}
}

func forBus(v *base.View, tap uint8) []base.Watcher {
	list := []base.Watcher{
		&link.Silence{Tap: tap},
		&link.LineFault{Tap: tap},
		&link.Late{Tap: tap},
		&link.Period{Tap: tap},
		&link.Damage{Tap: tap},
		&link.Gap{Tap: tap},
		&link.Missed{Tap: tap},
		&link.Failsafe{Tap: tap},
		&link.Link{Tap: tap},
		base.NewCleaned(v, tap),
		&link.Jump{Tap: tap},
		&link.Stillness{Tap: tap},
		&link.Loss{Tap: tap},
		&link.PowerUp{Tap: tap},
		&link.OtherMemory{Tap: tap},
		&link.Exposure{Tap: tap},
		&controls.Flat{Tap: tap},
		&controls.Rail{Tap: tap},
		&controls.Spike{Tap: tap},
	}
	if v.Sheet.Listens {
		list = append(list, &controls.Movement{Tap: tap})
	}
	if controls.HasGainSweep(v.Sheet) {
		list = append(list, &controls.Sweep{Tap: tap})
	}
	for i := range v.Sheet.Gestures {
		list = append(list, &controls.Gesture{Tap: tap, Index: i})
	}
	for i := range v.Sheet.Channels {
		if c := &v.Sheet.Channels[i]; base.HasPlaces(c.Kind) {
			list = append(list, &controls.Position{Tap: tap, Channel: c.Number})
		}
	}
	if v.Sheet.MarkButton != nil {
		list = append(list, &controls.Button{Tap: tap})
	}
	if len(v.ModeChannels) > 0 {
		list = append(list, &controls.Mode{Tap: tap})
	}
	return list
}

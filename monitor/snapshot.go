package monitor

import (
	"maps"
	"slices"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/watch"
)

// State is what the bench is like now, for those who look from outside: a copy
// that is theirs to keep. Call it between steps, on the bench's own goroutine.
func (b *Bench) State() *state.State {
	s := &state.State{
		Model: b.sheet.Model, SeenNS: b.now, NowNS: b.now, WallNS: b.view.Wall, Seq: b.seq,
		Runs: b.runs, Drill: b.view.Drill, Faults: b.faults,
	}
	for i, d := range b.decoders[1:] {
		s.Taps = append(s.Taps, b.tapState(&b.view.Taps[i+1], d))
	}
	for _, c := range b.book.Claims() {
		s.Claims = append(s.Claims, state.Claim{
			ID: c.ID, Verdict: string(c.Verdict), Sentence: c.Sentence, Evidence: slices.Clone(c.Evidence),
			Figures: maps.Clone(c.Figures), Settle: c.Settle, Drill: c.Drill,
		})
	}
	return s
}

func (b *Bench) tapState(t *watch.Tap, d decoder) state.Tap {
	s := state.Tap{
		Name: t.Name, Kind: t.Kind, Live: t.Locked, Signal: t.Signal, Suspect: t.Suspect,
		Asked: t.Asked, Mode: t.Mode, LastNS: -1,
	}
	bus, ok := d.(*Bus)
	if !ok {
		return s
	}
	tally := &bus.Tally
	s.Up, s.Port, s.Why, s.Ups, s.Lost = tally.Up, tally.Port, tally.Why, tally.Ups, tally.Lost
	s.Bytes, s.BadChar, s.Frames, s.Damaged = tally.Bytes, tally.BadChars, tally.Frames, tally.Damaged
	s.Missed, s.Failsafe, s.Gaps, s.Periods = tally.Missed, tally.Failsafe, tally.Gaps, tally.Periods
	s.PeriodNS, s.ClumpNS = tally.Pace.Period, tally.Pace.Clump
	for r, n := range tally.Refused {
		s.Refused = append(s.Refused, state.Refused{Reason: servobus.Reason(r).String(), Bytes: n})
	}
	if tally.Heard {
		s.LastNS = tally.Last
	}
	if t.Locked {
		s.Channels = channels(b.sheet, &tally.Latest)
	}
	return s
}

// channels are those of a frame; the digital ones only where the sheet has them.
func channels(sh *sheet.Sheet, f *servobus.Frame) (list []state.Channel) {
	for n := 1; n <= servobus.Channels+2; n++ {
		named, ok := sh.Channel(n)
		c := state.Channel{Number: n}
		switch {
		case n <= servobus.Channels:
			c.Count, c.WidthNS = f.Counts[n-1], watch.Width(sh, f, n)
		case !ok:
			continue
		default:
			c.Count, c.WidthNS = digital(f, n), watch.Width(sh, f, n)
		}
		if ok {
			c.Name = named.Name
		}
		list = append(list, c)
	}
	return list
}

func digital(f *servobus.Frame, n int) uint16 {
	if n == servobus.Channels+1 && f.Ch17() || n == servobus.Channels+2 && f.Ch18() {
		return 1
	}
	return 0
}

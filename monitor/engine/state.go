package engine

import (
	"maps"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// State is the present as the engine knows it, for those who look from outside: a copy
// that is theirs to keep. Call it between steps, on the engine's own goroutine.
func (e *Engine) State() *state.State {
	e.audience.wake(&e.view)
	s := &state.State{
		Model: e.sheet.Model, SeenNS: e.now, NowNS: e.now, WallNS: e.view.Wall, Seq: e.seq,
		Runs: e.runs, Drill: e.view.Drill, Faults: e.faults,
		Account: e.account.Show(&e.view), Prompt: e.drills.Prompt(e.now, e.drills.hears(&e.view)),
	}
	for i, d := range e.decoders[1:] {
		s.Taps = append(s.Taps, e.tapState(&e.view.Taps[i+1], d))
	}
	for _, c := range e.book.Claims() {
		s.Claims = append(s.Claims, state.Claim{
			ID: c.ID, Verdict: string(c.Verdict), Sentence: c.Sentence, Evidence: slices.Clone(c.Evidence),
			Figures: maps.Clone(c.Figures), Settle: c.Settle.String(), Drill: c.Settle.Drill,
		})
	}
	return s
}

func (e *Engine) tapState(t *base.Tap, d decoder) state.Tap {
	s := state.Tap{
		Name: t.Name, Kind: t.Kind, Locked: t.Locked, Signal: t.Signal, Suspect: t.Suspect,
		ModeKnown: t.ModeKnown, Mode: t.Mode, LastNS: -1, LinkTally: t.Tally, Ranges: slices.Clone(t.Ranges),
		LineFault: t.LineFault,
	}
	switch d := d.(type) {
	case *Bus:
		d.Counts.show(&s, e.sheet, e.now)
	case *Leads:
		d.Counts.show(&s, e.sheet, e.now)
	case *Tilt:
		d.Counts.show(&s, t)
	}
	if !s.Condition().HasValues() { // nobody asks for a mode
		s.ModeKnown, s.Mode = false, ""
	}
	return s
}

func (t *PortCounts) show(s *state.Tap) {
	s.Up, s.Port, s.Why, s.PortTally = t.Up, t.Port, t.Why, t.PortTally
}

// show shows a bus as silent as soon as frames stay away, although that is an event
// only once it is sure that somebody listened.
func (t *BusCounts) show(s *state.Tap, sh *sheet.Sheet, now unit.Time) {
	t.PortCounts.show(s)
	s.FrameTally, s.Periods = t.FrameTally, t.Periods
	s.PeriodNS, s.ClumpNS = t.Pace.Period, t.Pace.Clump
	for _, r := range sh.Protocol.Reasons {
		s.Refused = append(s.Refused, state.Refused{Reason: r.String(), Bytes: t.Refused[r]})
	}
	if t.Heard {
		s.LastNS = t.Last
	}
	s.Locked = s.Locked && now.Sub(t.Last) <= t.Pace.Limit()
	if s.Locked {
		s.Channels = channels(sh, &t.Latest)
	}
}

// recent is how old a pulse may be for its output to count as heard.
const recent = 500 * unit.Millisecond

func (t *LeadsCounts) show(s *state.Tap, sh *sheet.Sheet, now unit.Time) {
	t.PortCounts.show(s)
	for r, n := range t.Refused {
		s.Refused = append(s.Refused, state.Refused{Reason: pulse.Reason(r).String(), Bytes: n})
	}
	s.Board = &state.Board{Name: t.Board, TickNS: t.Tick, BoardTally: t.BoardTally, Outputs: []state.Output{}}
	for i := range t.Outputs.List {
		o := &t.Outputs.List[i]
		live := t.Up && now.Sub(o.Last) <= recent
		surface := ""
		if named, ok := sh.Output(o.Output); ok {
			surface = named.Surface
		}
		s.Board.Outputs = append(s.Board.Outputs, state.Output{
			Number: o.Output, Surface: surface, Pulses: o.Pulses, Pulsing: live, WidthNS: o.Width, PeriodNS: o.Period, LastNS: o.Last,
		})
		s.Locked, s.LastNS = s.Locked || live, max(s.LastNS, o.Last)
	}
}

// channels are those of a frame; the digital ones only where the sheet has them, or no
// channel at all.
func channels(sh *sheet.Sheet, f *bus.Frame) (list []state.Channel) {
	for n := 1; n <= sh.Protocol.LastChannel(); n++ {
		named, ok := sh.Channel(n)
		c := state.Channel{Number: n}
		switch {
		case !sh.Digital(n):
			c.Count, c.WidthNS = f.Counts[n-1], base.Width(sh, f, n)
		case !ok && !sh.Listens:
			continue
		default:
			c.Count, c.WidthNS = digital(sh, f, n), base.Width(sh, f, n)
		}
		if ok {
			c.Name, c.Place = named.Name, sh.PlaceName(n, c.WidthNS)
		}
		list = append(list, c)
	}
	return list
}

func digital(sh *sheet.Sheet, f *bus.Frame, n int) uint32 {
	if f.Digital(n - sh.Protocol.Channels - 1) {
		return 1
	}
	return 0
}

package engine

import (
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// Leads decodes a tap on servo leads: the lines of a capture board. Its exported
// fields are what a checkpoint keeps.
type Leads struct {
	Lines    pulse.BoardDecoder
	Clock    wiretime.BoardEstimator
	Counts   LeadsCounts
	Reported pulse.Account // of the lines, as last reported to the watchers

	seen  event.Observation // what the board said, or what was lost
	given event.Observation // a pulse
	pulse event.Pulse
	at    unit.Time
	tap   uint8
	see   func(*event.Observation)
	found func(*pulse.Pulse)

	refused int64 // bytes, as last reported
}

// Step implements decoder.
func (l *Leads) Step(in *event.Input, see func(*event.Observation)) {
	l.at, l.tap, l.see = in.At, in.Tap, see
	switch in.Kind {
	case event.InputBytes, event.InputBadBytes:
		l.Counts.characters(in)
		if l.found == nil {
			l.found = l.onPulse
		}
		// Line by line, so that what is reported comes in the order in which it came.
		for data := in.Data; len(data) > 0; {
			data = data[l.Lines.FeedLine(data, in.Kind == event.InputBadBytes, l.found):]
			if !l.onlyRefused() {
				l.report()
			}
		}
		l.report()
	case event.InputTapDown:
		l.Lines.Reset()
		l.Clock.Reset()
		l.report()
		l.Counts.port(in)
		passOn{}.Step(in, see)
	default:
		l.Counts.port(in)
		passOn{}.Step(in, see)
	}
}

// onlyRefused reports that nothing was taken since the last report. What was refused in a
// row is reported as one: a port that is flooded has a million such lines a second.
func (l *Leads) onlyRefused() bool {
	was, now := &l.Reported, &l.Lines.Sum
	return now.Lines == was.Lines && now.Infos == was.Infos && now.Lost == was.Lost && now.Dropped == was.Dropped && now.Restarts == was.Restarts
}

// toTell reports that the watchers have to know of more than pulses.
func (l *Leads) toTell() bool {
	was, now := &l.Reported, &l.Lines.Sum
	return now.Infos != was.Infos || now.Lost != was.Lost || now.Dropped != was.Dropped || now.Restarts != was.Restarts ||
		l.Lines.RefusedBytes() != l.refused
}

// onPulse dates a pulse by its falling edge.
func (l *Leads) onPulse(p *pulse.Pulse) {
	if l.toTell() {
		l.report()
	}
	l.pulse = event.PulseOf(p)
	at := l.Clock.At(p.Epoch, l.pulse.Fall(), l.at)
	l.Counts.pulse(&l.pulse, at)
	o := &l.given // in which nothing else was ever set
	o.At, o.Wire, o.Tap, o.Kind, o.Pulse = l.at, at, l.tap, event.PulseSeen, &l.pulse
	l.see(o)
}

// report reports what the board said of itself, and what was lost or refused, since
// the last time.
func (l *Leads) report() {
	if !l.toTell() {
		was, now := &l.Reported, &l.Lines.Sum
		l.Counts.Lines += now.Lines - was.Lines
		// All else is as it was.
		was.In, was.Taken, was.Lines, was.Pulses, was.Expected = now.In, now.Taken, now.Lines, now.Pulses, now.Expected
		return
	}
	was, now := l.Reported, l.Lines.Sum
	l.Reported, l.refused = now, l.Lines.RefusedBytes()
	l.Counts.account(&was, &now, &l.Lines.Board)
	l.reportLost(&was, &now)
	if now.Infos != was.Infos {
		b := &l.Lines.Board
		l.seen = event.Observation{At: l.at, Wire: l.at, Tap: l.tap, Kind: event.BoardStatus,
			Board: event.Board{Name: b.Name, Tick: unit.Duration(b.Tick), Outputs: b.Outputs, Dropped: b.Dropped}}
		l.see(&l.seen)
	}
}

// reportLost reports what did not come through, and before what came behind it.
func (l *Leads) reportLost(was, now *pulse.Account) {
	if now.Lost == was.Lost && now.Dropped == was.Dropped && now.Restarts == was.Restarts && now.Refused == was.Refused {
		return
	}
	lost := event.BoardLostData{Lines: now.Lost - was.Lost, Dropped: now.Dropped - was.Dropped, Restarts: now.Restarts - was.Restarts, Refused: map[string]int64{}}
	for r := range now.Refused {
		if n := now.Refused[r] - was.Refused[r]; n > 0 {
			lost.Refused[pulse.Reason(r).String()] = n
		}
	}
	l.seen = event.Observation{At: l.at, Wire: l.at, Tap: l.tap, Kind: event.LinesLost, Lost: lost}
	l.see(&l.seen)
}

package engine

import (
	"benchproof.example/decode/tilt"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/wiretime"
)

// Tilt decodes a tap on a phone: the sentences in which it says how it lies. Its exported
// fields are what a checkpoint keeps.
type Tilt struct {
	Sentences tilt.Decoder
	Clock     wiretime.BoardEstimator
	Counts    TiltCounts
	Reported  tilt.Account // as last reported to the watchers

	seen event.Observation
	at   unit.Time
	tap  uint8
	see  func(*event.Observation)
	took tilt.See
}

// Step implements decoder.
func (p *Tilt) Step(in *event.Input, see func(*event.Observation)) {
	p.at, p.tap, p.see = in.At, in.Tap, see
	switch in.Kind {
	case event.InputBytes, event.InputBadBytes:
		p.Counts.characters(in)
		if p.took == nil {
			p.took = p.take
		}
		p.Sentences.Feed(in.Data, int64(in.At), in.Kind == event.InputBadBytes, p.took)
		p.report()
	case event.InputTapDown:
		p.Sentences.Reset()
		p.Clock.Reset()
		p.report()
		p.Counts.port(in)
		passOn{}.Step(in, see)
	default:
		p.Counts.port(in)
		passOn{}.Step(in, see)
	}
}

// take dates an attitude by the phone's own clock.
func (p *Tilt) take(a *tilt.Attitude, s *tilt.Status) {
	p.report()
	p.seen = event.Observation{At: p.at, Wire: p.at, Tap: p.tap, Kind: event.PhoneSpoke, Phone: s}
	if a != nil {
		p.Counts.Attitudes++
		p.Counts.Last = p.at
		p.seen.Kind, p.seen.Phone, p.seen.Lies = event.AttitudeSeen, nil, a
		p.seen.Wire = min(p.at, p.Clock.At(a.Epoch, unit.Duration(a.Time), p.at))
	}
	p.see(&p.seen)
}

// report reports what was lost or refused since the last time.
func (p *Tilt) report() {
	was, now := p.Reported, &p.Sentences.Sum
	if was.Refused == now.Refused && was.Lost == now.Lost && was.Restarts == now.Restarts {
		return
	}
	p.Reported = *now
	lost := event.BoardLostData{Lines: now.Lost - was.Lost, Restarts: now.Restarts - was.Restarts, Refused: map[string]int64{}}
	for r := range now.Refused {
		if n := now.Refused[r] - was.Refused[r]; n > 0 {
			lost.Refused[tilt.Reason(r).String()] = n
			p.Counts.Refused[r] += n
		}
	}
	p.Counts.LostSentences += lost.Lines
	p.seen = event.Observation{At: p.at, Wire: p.at, Tap: p.tap, Kind: event.LinesLost, Lost: lost}
	p.see(&p.seen)
}

// TiltCounts counts what came from a phone, for those who look from outside. Its exported
// fields are what a checkpoint keeps.
type TiltCounts struct {
	PortCounts

	state.PhoneTally
	Last    unit.Time
	Refused [tilt.Reasons]int64 // bytes
}

func (t *TiltCounts) show(s *state.Tap, seen *base.Tap) {
	t.PortCounts.show(s)
	for r, n := range t.Refused {
		s.Refused = append(s.Refused, state.Refused{Reason: tilt.Reason(r).String(), Bytes: n})
	}
	if t.Attitudes > 0 {
		s.LastNS = t.Last
	}
	s.Phone = seen.Phone.Show()
	s.Locked = t.Up && s.Phone.Heard
	s.Phone.PhoneTally = t.PhoneTally
}

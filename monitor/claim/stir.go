package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of a supply under stirred servos.
const (
	supplyHolds   = "with %s stirred hard the supply holds: no silence and no restart of the receiver"
	supplyHeld    = "stirred for %s, without a silence and without a restart of the receiver; unloaded surfaces draw less than in flight"
	supplyFails   = "while sticks were stirred %s; in the span at rest before it there was none: %s"
	tooLittleStir = "all sticks moved at once for %s of the %s that it takes, and each must go well to both sides: stir all of them, hard, " +
		"to the end of the minute"
	throttleMoved = "the throttle moved: it stays at cut in this drill; do it anew"
	silentAtRest  = "the bus fell silent at rest too (%s): adapter, wire, plug and supply can't be told apart; cure that first, then stir again"
	onceOnly      = "one silence while sticks were stirred: one alone may be an adapter's, or a plug's; do the drill again"
	bothAtOnce    = "bus and servo leads fell silent at once, so what feeds both gave way: its source, regulator, switch, plugs or leads, which the wire " +
		"does not say; or a servo draws too much. Change one at a time"
	oneAlone = "supply, regulator, switch, plugs, or a servo that draws too much: the wire does not say which, so change one at a time"
)

const (
	leastStirred            = 33 * unit.Second       // of the minute, all sticks at once
	leastStirWay unit.Width = 500_000                // ns: how far each stick must have gone from one side to the other
	silentAtOnce            = 300 * unit.Millisecond // bus and leads, whose pulses come every 20 ms (common practice)
)

// stir judges whether the receiver's supply holds while servos work: silences and restarts
// of a span in which sticks were stirred, against a span at rest.
//
//	prompts   | still           | stir            |
//	bus       ==================|====   ====  ====|
//	                               silences: 2
type stir struct {
	Span   drill.Act `json:"span"` // ActStill or ActStir while it lasts, "" for none
	From   unit.Time `json:"from"` // when it began
	Rested bool      `json:"rested"`
	Still  stirCount `json:"still"`
	Stir   stirCount `json:"stir"`
	Silent unit.Time `json:"silent"` // onset of the latest silence of the bus,
	Lead   unit.Time `json:"lead"`   // and of an output; 0: none

	tap string // the bus that drills are judged by
}

// stirCount is what happened in a span.
type stirCount struct {
	Silences int64 `json:"silences"`
	Restarts int64 `json:"restarts"`
	AtOnce   int64 `json:"at_once"` // silences of the bus in step with an output's
}

func newStir(b *Book) *stir {
	b.add(FamilySoak.of("stir"), fmt.Sprintf(supplyHolds, stirredSticks(b.sheet)), Action{Do: DoDrill, Drill: drill.Stir})
	s := &stir{}
	for _, t := range b.sheet.Taps {
		if t.Kind == "bus" && s.tap == "" {
			s.tap = t.Name
		}
	}
	return s
}

func (s *stir) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillPromptedData:
		s.prompted(e.At, b, &d)
	case event.DrillAnsweredData:
		s.answered(e, b, &d)
	case event.DrillEndedData:
		s.Span = ""
	default:
		if c := s.count(); c != nil && e.From >= s.From {
			s.happens(e, c)
		}
	}
}

func (s *stir) prompted(at unit.Time, b *Book, d *event.DrillPromptedData) {
	switch _, ask := b.drills.Asked(d.Prompt); ask.Act {
	case drill.ActStill:
		*s = stir{Span: drill.ActStill, From: at, tap: s.tap}
	case drill.ActStir:
		s.Span, s.From, s.Stir = drill.ActStir, at, stirCount{}
	default:
		s.Span = ""
	}
}

// count is that of the span that lasts, nil for none.
func (s *stir) count() *stirCount {
	switch s.Span {
	case drill.ActStill:
		return &s.Still
	case drill.ActStir:
		return &s.Stir
	}
	return nil
}

func (s *stir) happens(e *event.Event, c *stirCount) {
	mine := e.About == event.AboutTap.Called(s.tap)
	switch d := e.Data.(type) {
	case event.SilentData:
		s.silent(e, mine, c)
	case event.LateData: // what lay waiting was never silent
		if mine && s.Silent != 0 && unit.Abs(e.From.Sub(s.Silent)) < silentAtOnce {
			c.Silences, s.Silent = c.Silences-1, 0
		}
	case event.FailsafeData:
		if mine && e.Kind == event.FailsafeEntered && d.AfterSilence {
			c.Restarts++
		}
	}
}

// silent takes a silence of a bus, or of a lead.
func (s *stir) silent(e *event.Event, mine bool, c *stirCount) {
	switch {
	case e.Kind == event.BusSilent && mine:
		s.Silent = e.From
		c.Silences++
		s.step(c)
	case e.Kind == event.OutputSilent:
		s.Lead = e.From
		s.step(c)
	}
}

// step counts silences of bus and leads that came at once.
func (s *stir) step(c *stirCount) {
	if s.Silent != 0 && s.Lead != 0 && unit.Abs(s.Silent.Sub(s.Lead)) <= silentAtOnce {
		c.AtOnce++
		s.Lead = 0
	}
}

func (s *stir) answered(e *event.Event, b *Book, d *event.DrillAnsweredData) {
	switch _, ask := b.drills.Asked(d.Prompt); ask.Act {
	case drill.ActStill:
		s.Rested = true
	case drill.ActStir:
		if s.Rested {
			s.judge(event.Span{From: e.From, To: e.At}, d, b)
		}
		s.Rested = false
	}
}

func (s *stir) judge(span event.Span, d *event.DrillAnsweredData, b *Book) {
	id, found := FamilySoak.ID("stir"), s.Stir.words()
	figures := map[string]int64{"stirred_ns": int64(d.StirredNS), "silences": s.Stir.Silences, "restarts": s.Stir.Restarts, "at_once": s.Stir.AtOnce}
	why := oneAlone
	if s.Stir.AtOnce > 0 {
		why = bothAtOnce
	}
	switch {
	case movedThrottle(b.sheet, d):
		b.doubt(id, throttleMoved)
	case s.Still.Silences+s.Still.Restarts > 0:
		b.doubt(id, fmt.Sprintf(silentAtRest, s.Still.words()))
	case s.Stir.Restarts > 0 || s.Stir.Silences > 1:
		b.wrong(id, fmt.Sprintf(supplyFails, found, why), span, figures)
	case s.Stir.Silences == 1:
		b.doubt(id, onceOnly)
	case d.StirredNS < leastStirred || !allStirred(b.sheet, d):
		b.doubt(id, fmt.Sprintf(tooLittleStir, unit.FormatDuration(d.StirredNS), unit.FormatDuration(leastStirred)))
	default:
		b.right(id, fmt.Sprintf(supplyHeld, unit.FormatDuration(d.StirredNS)), span, figures)
	}
}

func (c *stirCount) words() string {
	s := fmt.Sprintf("the bus fell silent %d times", c.Silences)
	if c.Silences == 1 {
		s = "the bus fell silent once"
	}
	if c.Restarts > 0 {
		s += fmt.Sprintf(" and the receiver began anew %d times, as flags behind a silence say", c.Restarts)
	}
	return s
}

// movedThrottle reports that a throttle did not stay where it stood.
func movedThrottle(s *sheet.Sheet, d *event.DrillAnsweredData) bool {
	for _, m := range d.Channels {
		if c, ok := s.Channel(m.Channel); ok && c.Kind == sheet.Throttle && m.MostNS-m.LeastNS > drill.NearEnd {
			return true
		}
	}
	return false
}

// allStirred reports that each stick went well to and fro.
func allStirred(s *sheet.Sheet, d *event.DrillAnsweredData) bool {
	for _, m := range d.Channels {
		if c, ok := s.Channel(m.Channel); ok && c.Kind == sheet.Stick && m.MostNS-m.LeastNS < leastStirWay {
			return false
		}
	}
	return true
}

// stirredSticks are those that the stir drill has stirred.
func stirredSticks(s *sheet.Sheet) string {
	if len(s.ThrottleChannels()) == 0 {
		return "all sticks"
	}
	return "all sticks but the throttle"
}

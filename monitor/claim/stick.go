package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of sticks and the throttle.
const (
	movesItsChannel = "%s moves channel %d, and the right way"
	carriedByMix    = "%s stood at %s at %s, but %s was away from its centre: a mix may have carried it; do it again " +
		"with the others let go"
	reachesItsEnd = "%s reaches %s at %s, %s from the sheet's %s"
	reachesTooFar = "%s goes to %s at %s, %s further than the sheet's %s: make that end of its travel smaller in the " +
		"transmitter"
	reachesTooLittle = "%s reaches only %s at %s, %s short of the sheet's %s: make that end of its travel greater in " +
		"the transmitter, and check rates and limits"
	notCutOff       = "%s went to both stops without being cut off"
	nothingMovedYet = "nothing on this bus has moved yet, so where %s rests says nothing: move a stick or a switch " +
		"first"
	setNeutral         = "centre its trim, then set its offset in the transmitter so that it rests at %s"
	throttleReversed   = "that is nearer to full: was the stick down? If it was, reverse channel %d in the transmitter"
	setIdle            = "set that end of its travel, where the stick is down, or its trim in the transmitter"
	setCut             = "set the throttle cut in the transmitter to %s, in every flight phase"
	cutNotOn           = "the stick still drives it: was the cut on? If it was, see that it acts on this channel, and %s"
	cutNotOnOrReversed = "that is nearer to full: the cut was not on, it is set to the wrong end, or channel %d runs " +
		"the wrong way; which, the drill order and the cut's value in the transmitter tell"
	restsAt        = "%s %s stands at %s, %s from the sheet's %s"
	restsElsewhere = "%s %s stands at %s, %s from the sheet's %s: %s"
)

// What distinguishes a movement from none, and a limit from a hand.
const (
	moved     = 60_000                // ns of width: less is no answer to a prompt
	handsOff  = 2                     // times the tolerance of positions: how near a hand brings a stick to its end
	flatLeast = 80 * unit.Millisecond // standing exactly still after
	fastLeast = 40_000                // ns of width in the last 30 ms: a hand slows down before it stops
)

// stick judges a stick or the throttle by the answers of drills: the wire alone
// can't show which control a hand moved, nor that it came to the stop.
type stick struct {
	Turned  map[string]bool   `json:"turned"`  // ends that the order drill saw right
	Visited map[string]bool   `json:"visited"` // ends that the ends drill led to
	Alone   map[string]bool   `json:"alone"`   // ends that were reached without another channel
	Start   levels            `json:"start"`   // of all channels before the order drill moved this stick
	Held    map[string]levels `json:"held"`    // at its ends
	Raised  bool              `json:"raised"`  // with throttle cut on and the stick down it stood nearer to full

	channel *sheet.Channel
}

func newStick(b *Book, c *sheet.Channel) *stick {
	s := &stick{Turned: map[string]bool{}, Visited: map[string]bool{}, Alone: map[string]bool{}, Held: map[string]levels{}, channel: c}
	ends := s.ends()
	b.add(FamilyOrder.ofChannel(c), fmt.Sprintf(movesItsChannel, c.Name, c.Number), drilled(drill.Order), c.Name)
	b.add(FamilyAlone.ofChannel(c), fmt.Sprintf(movesNoOther, c.Name, c.Number), drilled(drill.Order), c.Name)
	for _, e := range ends {
		b.add(FamilyTravel.ofChannel(c, e.Name), fmt.Sprintf("%s reaches %s at %s", c.Name, unit.FormatWidth(e.Width), e.Name),
			drilled(drill.Ends), c.Name)
	}
	b.add(FamilyClip.ofChannel(c), fmt.Sprintf("%s is not cut off before its stops", c.Name), drilled(drill.Ends), c.Name)
	if c.Neutral != 0 {
		b.add(FamilyNeutral.ofChannel(c), fmt.Sprintf("%s rests at %s", c.Name, unit.FormatWidth(c.Neutral)), drilled(drill.Neutral), c.Name)
	}
	if c.Kind == sheet.Throttle {
		for _, f := range []Family{FamilyIdle, FamilyCut} {
			if p, ok := c.Place(string(f)); ok {
				b.add(f.ofChannel(c), fmt.Sprintf("%s stands at %s at %s", c.Name, unit.FormatWidth(p.Width), p.Name),
					drilled(drill.Neutral), c.Name)
			}
		}
	}
	return s
}

// ends are the places at which the stick meets its stops. The throttle's lower
// one is its idle, or its cut where there is no idle.
func (s *stick) ends() []sheet.Place {
	if s.channel.Kind != sheet.Throttle {
		return s.channel.Places
	}
	low, ok := s.channel.Place("idle")
	if !ok {
		low, _ = s.channel.Place("cut")
	}
	full, _ := s.channel.Place("full")
	return []sheet.Place{low, full}
}

func (s *stick) see(e *event.Event, b *Book) {
	d, ok := e.Data.(event.DrillAnsweredData)
	if !ok || !heard(&d) {
		return
	}
	span := event.Span{From: e.From, To: e.At}
	switch _, ask := b.drills.Asked(d.Prompt); ask.Act {
	case drill.ActLetGo, drill.ActIdle, drill.ActCut, drill.ActCutFull:
		s.neutral(ask.Act, &d, span, b)
	case drill.ActHold, drill.ActRelease:
		if ask.Channel == s.channel.Number {
			s.order(ask, &d, span, b)
		}
	case drill.ActReach:
		if ask.Channel == s.channel.Number {
			s.travel(ask.Place, &d, span, b)
		}
	}
}

func move(d *event.DrillAnsweredData, channel int) event.ChannelMove {
	for _, m := range d.Channels {
		if m.Channel == channel {
			return m
		}
	}
	return event.ChannelMove{Channel: channel}
}

// far is how far a channel went at most from where it was.
func far(m event.ChannelMove) unit.Width { return max(m.MostNS-m.FromNS, m.FromNS-m.LeastNS) }

// away reports that a channel stands elsewhere than it did: one that was let go again before its
// prompt was answered shows neither which way it goes nor how far.
func away(m event.ChannelMove) bool { return unit.Abs(m.ToNS-m.FromNS) >= moved }

func (s *stick) end(name string) (sheet.Place, bool) {
	for _, p := range s.ends() {
		if p.Name == name {
			return p, true
		}
	}
	return sheet.Place{}, false
}

// travel judges what a control reached at its stop. Where it moved another
// channel or the other way, that is the order's business.
func (s *stick) travel(end string, d *event.DrillAnsweredData, span event.Span, b *Book) {
	want, ok := s.end(end)
	mine := move(d, s.channel.Number)
	if !ok || !s.came(want, mine) {
		return
	}
	off := mine.ToNS - want.Width
	outwards := off > 0
	if want.Width < mine.FromNS {
		outwards = off < 0
	}
	figures := map[string]int64{"width_ns": int64(mine.ToNS), "off_ns": int64(off)}
	id, name := FamilyTravel.ID(s.channel.Name, end), s.channel.Name
	at, offBy, wanted := unit.FormatWidth(mine.ToNS), unit.FormatWidth(unit.Abs(off)), unit.FormatWidth(want.Width)
	if held := s.heldMeanwhile(d, b); held != "" && unit.Abs(off) > handsOff*b.sheet.Tolerance.Position {
		b.unclear(id, fmt.Sprintf(carriedByMix, name, at, end, held))
		return
	}
	switch {
	case unit.Abs(off) <= handsOff*b.sheet.Tolerance.Position:
		b.right(id, fmt.Sprintf(reachesItsEnd, name, at, end, offBy, wanted), span, figures)
	case outwards:
		b.wrong(id, fmt.Sprintf(reachesTooFar, name, at, end, offBy, wanted), span, figures)
	default:
		b.wrong(id, fmt.Sprintf(reachesTooLittle, name, at, end, offBy, wanted), span, figures)
	}
	// An end that comes short may be one that is cut off: it shows nothing.
	if s.Visited[end] = s.Visited[end] || outwards || unit.Abs(off) <= handsOff*b.sheet.Tolerance.Position; s.bothVisited() {
		b.right(FamilyClip.ID(name), fmt.Sprintf(notCutOff, name), span, figures)
	}
}

// came reports that the stick's own channel moved, and the way that was asked for.
func (s *stick) came(want sheet.Place, mine event.ChannelMove) bool {
	return away(mine) && (want.Width > mine.FromNS) == (mine.ToNS > mine.FromNS) && !s.opposite(want, mine.ToNS)
}

// heldMeanwhile names another stick that was away from its neutral, "" for none.
func (s *stick) heldMeanwhile(d *event.DrillAnsweredData, b *Book) string {
	for i := range b.sheet.Channels {
		c := &b.sheet.Channels[i]
		if c.Kind == sheet.Stick && c.Number != s.channel.Number && c.Neutral != 0 && unit.Abs(move(d, c.Number).ToNS-c.Neutral) > alongLeast {
			return c.Name
		}
	}
	return ""
}

// opposite reports that a width is nearer to the other end than to the one that was
// asked for: a throttle that runs the wrong way rests at that.
func (s *stick) opposite(want sheet.Place, at unit.Width) bool {
	for _, e := range s.ends() {
		if e.Name != want.Name && unit.Abs(at-e.Width) < unit.Abs(at-want.Width) {
			return true
		}
	}
	return false
}

func (s *stick) bothVisited() bool {
	for _, e := range s.ends() {
		if !s.Visited[e.Name] {
			return false
		}
	}
	return true
}

// neutral judges where controls rest.
func (s *stick) neutral(act drill.Act, d *event.DrillAnsweredData, span event.Span, b *Book) {
	if !b.handsReach.Moved { // perhaps nothing here answers to these controls
		for _, f := range []Family{FamilyNeutral, FamilyIdle, FamilyCut} {
			b.unclear(f.ID(s.channel.Name), fmt.Sprintf(nothingMovedYet, s.channel.Name))
		}
		return
	}
	at := move(d, s.channel.Number).ToNS
	switch {
	case act == drill.ActLetGo && s.channel.Neutral != 0:
		remedy := fmt.Sprintf(setNeutral, unit.FormatWidth(s.channel.Neutral))
		s.rests(FamilyNeutral.ID(s.channel.Name), "with the sticks let go", at, s.channel.Neutral, remedy, span, b)
	case s.channel.Kind != sheet.Throttle:
	case act == drill.ActIdle:
		if p, ok := s.channel.Place("idle"); ok {
			s.rests(FamilyIdle.ID(s.channel.Name), "with the stick down", at, p.Width, s.idleRemedy(at, p.Width), span, b)
		}
	case act == drill.ActCut, act == drill.ActCutFull:
		if p, ok := s.channel.Place("cut"); ok {
			if act == drill.ActCut {
				s.Raised = s.up(at, p.Width)
			}
			when := map[drill.Act]string{drill.ActCut: "with throttle cut on", drill.ActCutFull: "with throttle cut on and the stick fully up"}[act]
			s.rests(FamilyCut.ID(s.channel.Name), when, at, p.Width, s.cutRemedy(act, at, p.Width), span, b)
		}
	}
}

// up reports that a throttle stands nearer to full than to where it should stand.
func (s *stick) up(at, want unit.Width) bool {
	full, _ := s.channel.Place("full")
	return unit.Abs(at-full.Width) < unit.Abs(at-want)
}

func (s *stick) idleRemedy(at, want unit.Width) string {
	if s.up(at, want) {
		return fmt.Sprintf(throttleReversed, s.channel.Number)
	}
	return setIdle
}

func (s *stick) cutRemedy(act drill.Act, at, want unit.Width) string {
	set := fmt.Sprintf(setCut, unit.FormatWidth(want))
	switch {
	case !s.up(at, want):
		return set
	case act == drill.ActCutFull && !s.Raised:
		return fmt.Sprintf(cutNotOn, set)
	}
	return fmt.Sprintf(cutNotOnOrReversed, s.channel.Number)
}

func (s *stick) rests(id, when string, at, want unit.Width, remedy string, span event.Span, b *Book) {
	off := at - want
	figures := map[string]int64{"width_ns": int64(at), "off_ns": int64(off)}
	stands, offBy, wanted := unit.FormatWidth(at), unit.FormatWidth(unit.Abs(off)), unit.FormatWidth(want)
	if unit.Abs(off) <= b.sheet.Tolerance.Neutral {
		b.right(id, fmt.Sprintf(restsAt, when, s.channel.Name, stands, offBy, wanted), span, figures)
		return
	}
	b.wrong(id, fmt.Sprintf(restsElsewhere, when, s.channel.Name, stands, offBy, wanted, remedy), span, figures)
}

func (s *stick) forget(what string, _ unit.Time) {
	if slices.Contains([]string{s.channel.Name, TopicAll}, what) {
		clear(s.Turned)
		clear(s.Visited)
		clear(s.Alone)
		clear(s.Held)
		s.Raised = false
	}
}

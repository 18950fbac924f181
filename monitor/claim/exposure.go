package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// What the builder reads of movement that is lacking.
const (
	spellsLacking = "%s of known movement in %s, %d spells are needed: let the sticks rest for a moment, then stir them " +
		"again"
	movementLacking = "%s of known movement in %s, %s in %d are needed: stir the sticks, or send a heartbeat"
)

// levelApart is how far apart two widths are, at least, at which a channel was seen
// to stand, for it to have moved, ns. A channel that never moved shows nothing of
// what its switch does.
const levelApart = 20_000

// exposures are those of the bus taps, since the session began or was reopened.
type exposures struct {
	Taps  map[string]*exposure `json:"taps"`
	Since unit.Time            `json:"since_ns"` // a stretch that began before does not count
}

// of is the exposure of a tap.
func (x *exposures) of(tap string) *exposure {
	if x.Taps == nil {
		x.Taps = map[string]*exposure{}
	}
	if x.Taps[tap] == nil {
		x.Taps[tap] = &exposure{}
	}
	return x.Taps[tap]
}

// add takes a stretch in; nil: it does not count.
func (x *exposures) add(e *event.Event, d *event.ExposureData) *exposure {
	if e.From < x.Since {
		return nil
	}
	t := x.of(d.Tap)
	t.add(e, d)
	return t
}

func (x *exposures) forget(at unit.Time) { *x = exposures{Since: at} }

// exposure sums what one tap showed.
type exposure struct {
	Live    unit.Duration     `json:"live_ns"`
	Moving  unit.Duration     `json:"moving_ns"`
	Beating unit.Duration     `json:"beating_ns"`
	Spells  int64             `json:"spells"`
	Moved   []int             `json:"moved"` // channels
	Air     event.LinkFigures `json:"air"`
	From    unit.Time         `json:"from_ns"` // of the first stretch
}

func (x *exposure) add(e *event.Event, d *event.ExposureData) {
	if x.Live == 0 {
		x.From = e.From
	}
	x.Live += d.LiveNS
	x.Moving += d.MovingNS
	x.Beating += d.BeatingNS
	x.Spells += d.Spells
	for _, n := range d.Moved {
		if !slices.Contains(x.Moved, n) {
			x.Moved = append(x.Moved, n)
		}
	}
	x.Air = sum(x.Air, d.LinkFigures)
}

func sum(a, b event.LinkFigures) event.LinkFigures {
	return event.LinkFigures{LinkFrames: a.LinkFrames + b.LinkFrames, LinkMissed: a.LinkMissed + b.LinkMissed, LinkNS: a.LinkNS + b.LinkNS}
}

func (x *exposure) span(to unit.Time) event.Span { return event.Span{From: min(x.From, to), To: to} }

// lacksTime says that something was not watched for long enough, "" where it was.
func lacksTime(was, least unit.Duration) string {
	if was >= least {
		return ""
	}
	return fmt.Sprintf("watched for %s of %s so far", seconds(was), seconds(least))
}

// lacksLife says that nothing moved at all: a receiver that holds without a signal, and
// never says so, looks like that.
func (x *exposure) lacksLife() string {
	if x.Moving > 0 || x.Beating > 0 || len(x.Moved) > 0 {
		return ""
	}
	return "nothing ever moved, as without a signal on some receivers: stir a stick"
}

// lacksMovement says what is lacking before a freeze would have shown.
func (x *exposure) lacksMovement() string {
	switch {
	case x.Beating >= leastMoving || x.Moving >= leastMoving && x.Spells >= leastSpells:
		return ""
	case x.Moving >= leastMoving:
		return fmt.Sprintf(spellsLacking, seconds(x.Moving), spells(x.Spells), leastSpells)
	}
	return fmt.Sprintf(movementLacking, seconds(x.Moving), spells(x.Spells), seconds(leastMoving), leastSpells)
}

// seconds is a length of time in whole seconds, from a minute on as 4:10.
func seconds(t unit.Duration) string {
	s := int64(t / unit.Second)
	if s < 60 {
		return fmt.Sprintf("%d s", s)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

func spells(n int64) string {
	if n == 1 {
		return "1 spell"
	}
	return fmt.Sprintf("%d spells", n)
}

// standing follows the widths at which a channel was seen to stand.
type standing struct {
	Seen  bool       `json:"seen"`
	First unit.Width `json:"first_ns"`
	Moved bool       `json:"moved"` // it stood at another too
}

// newSource reports whether what stood before an event may have been a receiver's, and what stands
// behind it the transmitter's, so that a channel which stood elsewhere need not have moved: many
// channels leapt, or nobody listened for a while.
func newSource(e *event.Event) bool { return e.Kind == event.ValuesJumped || e.Kind == event.BusLocked }

// stood takes a width in, and reports whether it is the first that shows a movement.
func (s *standing) stood(width unit.Width) bool {
	if !s.Seen {
		s.Seen, s.First = true, width
	}
	if s.Moved || unit.Abs(width-s.First) < levelApart {
		return false
	}
	s.Moved = true
	return true
}

// lacking joins what is lacking, the claim in front.
func lacking(claim string, parts ...string) string {
	return claim + ": " + strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}

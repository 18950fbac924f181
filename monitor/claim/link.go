package claim

import (
	"fmt"
	"maps"
	"slices"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
)

const (
	// leastLink is how long a link must have been heard before its share of
	// missed frames says anything good, and longLink anything bad.
	leastLink = 30 * fact.Second
	longLink  = fact.Minute
	// spikesTell is how many spikes are no accident: damage that passes for a
	// frame makes one now and then.
	spikesTell = 3
)

// link judges the radio link and that values move as they should. What the
// receiver flagged in a failsafe is the failsafe's business.
type link struct {
	Buses  map[string]*bus `json:"buses"`
	Spikes map[int]int     `json:"spikes"` // by channel
	Beats  bool            `json:"beats"`  // the heartbeat was seen
}

// bus is what one bus tap heard.
type bus struct {
	Period fact.Time `json:"period_ns"`
	Since  fact.Time `json:"since_ns"` // listening since; -1: not now
	Heard  fact.Time `json:"heard_ns"` // before that
	Missed int64     `json:"missed"`   // frames
	Gone   bool      `json:"gone"`     // in a failsafe
	Begun  fact.Time `json:"begun_ns"`
}

func newLink(b *Book) *link {
	l := &link{Buses: map[string]*bus{}, Spikes: map[int]int{}}
	if b.sheet.Link != nil {
		b.add("link/missed", fmt.Sprintf("at most %s of the frames are missed on the air", share(b.sheet.Link.MissedAtMost)), atTheEnd, "")
	}
	b.add("link/moving", "values never freeze while something is known to move", atTheEnd, "")
	b.add("link/spikes", "no channel leaves its value for a moment and comes back", atTheEnd, "")
	return l
}

// share is parts per million as a percentage.
func share(ppm int64) string { return fmt.Sprintf("%g %%", float64(ppm)/10_000) }

func (l *link) see(e *fact.Event, b *Book) {
	span := fact.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case fact.StillData:
		l.Beats = l.Beats || d.Because == "heartbeat"
		if e.Kind == fact.ValuesStill {
			l.still(&d, span, b)
		}
	case fact.SpikeData:
		l.spike(&d, span, b)
	}
	if len(e.About) > 4 && e.About[:4] == "tap:" {
		l.line(e, l.bus(e.About[4:]), b)
	}
	if e.Kind == fact.SessionEnded || e.Kind == fact.SessionResumed {
		l.end(e, b)
	}
}

func (l *link) bus(name string) *bus {
	if l.Buses[name] == nil {
		l.Buses[name] = &bus{Since: -1}
	}
	return l.Buses[name]
}

func (l *link) line(e *fact.Event, u *bus, b *Book) {
	switch d := e.Data.(type) {
	case fact.LockedData:
		u.Since, u.Begun = e.From, e.From
	case fact.SilentData, fact.ReasonData:
		u.stop(e.From)
	case fact.PeriodData:
		u.Period = d.PeriodNS
	case fact.FailsafeData:
		u.Gone = e.Kind == fact.FailsafeEntered
	case fact.RunData:
		// A run that led into a failsafe is told once it is over, before or
		// after the end of the failsafe: it spans the flag.
		if e.Kind == fact.AirMissed && !u.Gone && d.SpanNS < fact.Time(within(b)) {
			u.Missed += d.Frames
			l.judge(u, e.At, longLink, fact.Span{From: u.Begun, To: e.At}, b)
		}
	}
}

// within is how long a run may be before it is a failsafe.
func within(b *Book) int64 {
	if b.sheet.Failsafe == nil {
		return int64(fact.Second)
	}
	return b.sheet.Failsafe.Within
}

func (u *bus) stop(at fact.Time) {
	if u.Since >= 0 {
		u.Heard += max(0, at-u.Since)
		u.Since = -1
	}
}

func (u *bus) heard(now fact.Time) fact.Time {
	if u.Since < 0 {
		return u.Heard
	}
	return u.Heard + now - u.Since
}

// judge says what the share of missed frames is, once it says anything.
func (l *link) judge(u *bus, now, least fact.Time, span fact.Span, b *Book) {
	heard := u.heard(now)
	if b.sheet.Link == nil || u.Period == 0 || heard < least {
		return
	}
	ppm := u.Missed * 1_000_000 / max(1, int64(heard/u.Period))
	figures := map[string]int64{"missed_ppm": ppm, "missed_frames": u.Missed, "heard_ns": int64(heard)}
	if ppm > b.sheet.Link.MissedAtMost {
		b.wrong("link/missed", fmt.Sprintf("%s of the frames were missed on the air in %s, the sheet allows %s: keep the transmitter 2 to 3 m away and other radios off the bench, then check both aerials",
			share(ppm), say.Span(heard), share(b.sheet.Link.MissedAtMost)), span, figures)
		return
	}
	b.right("link/missed", fmt.Sprintf("%s of the frames were missed on the air in %s, on this bench, at this distance", share(ppm), say.Span(heard)), span, figures)
}

func (l *link) still(d *fact.StillData, span fact.Span, b *Book) {
	b.wrong("link/moving", fmt.Sprintf("all values froze for %s while something was moving (%s), without a flag: the receiver holds without saying so, or the transmitter stopped",
		say.Span(d.ForNS), d.Because), span, map[string]int64{"for_ns": int64(d.ForNS)})
}

func (l *link) spike(d *fact.SpikeData, span fact.Span, b *Book) {
	l.Spikes[d.Channel]++
	if n := l.Spikes[d.Channel]; n >= spikesTell {
		b.wrong("link/spikes", fmt.Sprintf("channel %d left its value %d times for a moment, last from %s to %s: look for a worn control or a mix that switches in the transmitter, and for damage on the wire",
			d.Channel, n, say.Width(d.FromNS), say.Width(d.ToNS)), span, map[string]int64{"times": int64(n)})
	}
}

// end judges what never happened.
func (l *link) end(e *fact.Event, b *Book) {
	for _, name := range slices.Sorted(maps.Keys(l.Buses)) {
		u := l.Buses[name]
		heard := u.heard(e.At)
		if e.Kind == fact.SessionEnded {
			l.judge(u, e.At, leastLink, fact.Span{From: u.Begun, To: e.At}, b)
		}
		u.stop(e.At)
		if heard < leastSitting || e.Kind != fact.SessionEnded {
			continue
		}
		span := fact.Span{From: u.Begun, To: e.At}
		figures := map[string]int64{"heard_ns": int64(heard)}
		watched := "by the heartbeat"
		if !l.Beats {
			watched = "only while sticks were stirred: no heartbeat was seen, so a hold goes unseen at rest"
		}
		b.right("link/moving", fmt.Sprintf("values never froze in %s, watched %s", say.Span(heard), watched), span, figures)
		b.right("link/spikes", fmt.Sprintf("no channel left its value for a moment more than twice in %s", say.Span(heard)), span, figures)
	}
}

func (l *link) forget(what string, at fact.Time) {
	if what == Everything {
		for _, u := range l.Buses {
			u.Missed, u.Heard, u.Begun = 0, 0, at
			if u.Since >= 0 {
				u.Since = at
			}
		}
		clear(l.Spikes)
	}
}

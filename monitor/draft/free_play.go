package draft

import (
	"cmp"
	"fmt"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// FreePlay makes what can be made of a session in which nobody asked anything: which channels moved, how, and what
// they move. What a channel is for it can't know.
type FreePlay struct {
	Heard   Hearing
	began   unit.Time // the first frames
	follows bool      // it is looked for what moves the outputs
	lives   [bus.MaxChannels + bus.MaxDigital]life
}

// life is what one channel did all the time.
type life struct {
	stands map[unit.Width]*lived // by whole microseconds
	last   Stand
	least  unit.Width
	most   unit.Width
	seen   bool
}

// lived is how long a channel stood somewhere, and how often.
type lived struct {
	times  int
	long   int // of those, as long as a lever stands
	lasted unit.Duration
	sum    unit.Width
}

// NewFreePlay listens to a bus of a protocol.
func NewFreePlay(p *bus.Protocol) *FreePlay {
	f := &FreePlay{Heard: Hearing{protocol: p, steers: true}}
	for c := range f.lives {
		f.lives[c].stands = map[unit.Width]*lived{}
	}
	return f
}

// Frame takes a frame; at is its time on the wire.
func (f *FreePlay) Frame(at unit.Time, frame *bus.Frame) {
	f.Heard.Frame(at, frame)
	if !f.Heard.whole {
		return
	}
	if f.began == 0 {
		f.began = at
	}
	if !f.follows && at.Sub(f.began) >= beatShows {
		f.follows = true
		f.Heard.follow(f.beats)
	}
	for c := range f.Heard.channels() {
		f.lives[c].take(&f.Heard.tracks[c])
	}
}

// beatShows is how long it takes until a channel that never stood is taken for a heartbeat.
const beatShows = 5 * unit.Second

// beats reports a channel that moved and never stood.
func (f *FreePlay) beats(channel int) bool {
	l, t := &f.lives[channel-1], &f.Heard.tracks[channel-1]
	return len(l.stands) == 0 && len(t.Stands) == 0 && l.most-l.least >= beatLeast
}

// Pulse takes a pulse of an output; rise is on the clock of the frames.
func (f *FreePlay) Pulse(output int, rise unit.Time, width unit.Width) {
	f.Heard.Pulse(output, rise, width)
}

func (l *life) take(t *Track) {
	if !l.seen {
		l.least, l.most, l.seen = t.now, t.now, true
	}
	l.least, l.most = min(l.least, t.now), max(l.most, t.now)
	n := len(t.Stands)
	if n == 0 || t.Stands[n-1].From == l.last.From {
		if n > 0 {
			l.last = t.Stands[n-1]
		}
		return
	}
	l.settle()
	l.last = t.Stands[n-1]
}

// settle counts the stand that is over.
func (l *life) settle() {
	if l.last.To == 0 {
		return
	}
	at := l.stands[l.last.Width/1000]
	if at == nil {
		at = &lived{}
		l.stands[l.last.Width/1000] = at
	}
	at.times++
	if l.last.lasted() >= placeFor {
		at.long++
	}
	at.lasted += l.last.lasted()
	at.sum += l.last.Width
	l.last = Stand{}
}

// Sheet writes what was found as a set-up sheet; its channels have numbers for names.
func (f *FreePlay) Sheet() ([]byte, error) {
	c := &Conversation{Model: newModel(), Heard: f.Heard}
	c.Model.Free = true
	for i := range f.Heard.channels() {
		l, t := &f.lives[i], &f.Heard.tracks[i]
		l.settle()
		c.Model.Rest = append(c.Model.Rest, t.now)
		if found, ok := l.control(i+1, t, f.Heard.protocol.Channels); ok {
			c.Model.Found[found.Key] = found
		}
		if f.beats(i + 1) {
			c.Model.Beats = append(c.Model.Beats, i+1)
		}
	}
	return c.Sheet()
}

const (
	playedLeast unit.Width = 20_000 // ns that a channel must have moved to be in the sheet
	restShare   unit.Width = 6      // of its travel that a stick's rest is away from both ends: one part of so many
	restTimes   int        = 3      // that a stick comes back to its rest
)

// control is what a channel is by how it moved; false where it hardly did, or never stood.
func (l *life) control(n int, t *Track, proportional int) (Control, bool) {
	key := fmt.Sprintf("channel-%d", n)
	c := Control{Key: key, Name: key, Channel: n, From: Measured}
	if l.most-l.least < playedLeast || len(l.stands) == 0 {
		return c, false
	}
	places := l.places()
	if smooth := t.smoothBeside(places); n > proportional || smooth <= len(places)+fewWidths && len(places) >= 2 && len(places) <= mostPlaces {
		c.Kind = sheet.Switch
		c.Places = places
		for i := range c.Places {
			c.Places[i].Name = ordinals[i]
		}
		return c, len(places) >= 2
	}
	c.Kind = sheet.Knob
	c.Places = []Place{{Name: "low", Width: l.least, Times: 1}, {Name: "high", Width: l.most, Times: 1}}
	if rest := l.rest(); rest != nil {
		c.Kind, c.Rests = sheet.Stick, []unit.Width{rest.sum / unit.Width(rest.times)}
	}
	return c, true
}

// places are those at which it stood for long enough, by width.
func (l *life) places() (list []Place) {
	var at []unit.Width
	for us, x := range l.stands {
		if x.long > 0 {
			at = append(at, us)
		}
	}
	slices.Sort(at)
	for i, us := range at {
		x := l.stands[us]
		p := Place{Width: x.sum / unit.Width(x.times), Times: x.times}
		if i > 0 && p.Width-list[len(list)-1].Width <= placesApart {
			before := &list[len(list)-1]
			if p.Times > before.Times {
				before.Width = p.Width
			}
			before.Times, before.Spread = before.Times+p.Times, max(before.Spread, unit.Abs(p.Width-before.Width))
			continue
		}
		list = append(list, p)
	}
	return list
}

// rest is where it stood the longest, if that is between its ends and it came back to it; nil: there is none.
func (l *life) rest() *lived {
	var list []unit.Width
	for us := range l.stands {
		list = append(list, us)
	}
	slices.SortFunc(list, func(a, b unit.Width) int {
		return cmp.Or(cmp.Compare(l.stands[b].lasted, l.stands[a].lasted), cmp.Compare(a, b))
	})
	near := lived{}
	for us, x := range l.stands {
		if unit.Abs(us-list[0]) <= restWithin/1000/2 {
			near.times, near.sum = near.times+x.times, near.sum+x.sum
		}
	}
	at := near.sum / unit.Width(near.times)
	aside := (l.most - l.least) / restShare
	if at-l.least < aside || l.most-at < aside || near.times < restTimes {
		return nil
	}
	return &near
}

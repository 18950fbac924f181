package draft

import (
	"math/bits"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
)

const (
	flicker   unit.Width = 1_300                  // ns, to either side, by which a control at rest may flicker
	turnsBy   unit.Width = 15_000                 // ns that a channel goes back by: it has turned round
	standsFor            = 300 * unit.Millisecond // a channel that stays that long stands
	mostKept             = 64                     // stands, and turns, of one channel since a question was asked
)

// Widths are the cleaned widths of all channels, ns; the digital ones come behind the others.
type Widths [bus.MaxChannels + bus.MaxDigital]unit.Width

// Stand is a stretch in which a channel stood.
type Stand struct {
	Width    unit.Width // that most of its frames had
	From, To unit.Time
}

func (s *Stand) lasted() unit.Duration { return s.To.Sub(s.From) }

// Turn is a place at which a channel turned round, and what the others had there.
type Turn struct {
	Width unit.Width
	At    unit.Time
	Held  unit.Duration // how long it stayed there
	With  Widths
}

// Track follows one channel since the question was asked that stands. Widths are cleaned.
//
//	width  ______        ______        stands: three
//	             \      /      \       turns: the lower one, and the upper one once it
//	              \____/        \__    has gone back far enough
type Track struct {
	Stands      []Stand
	Turns       []Turn
	Began       unit.Width // where it was when the question was asked
	Least, Most unit.Width

	asked unit.Time // when the question was asked
	known bool
	now   unit.Width
	rest  tally
	way   unit.Width // it goes up, 1, or down, -1; 0: neither yet
	far   Turn
	since unit.Time // it came to far
	seen  [64]uint64
}

// begin forgets all but where the channel is.
func (t *Track) begin(at unit.Time) {
	rest, now, known := t.rest, t.now, t.known
	*t = Track{known: known, now: now, rest: rest, asked: at, Began: now, Least: now, Most: now, far: Turn{Width: now, At: at}, since: at}
	t.rest.From = max(t.rest.From, at)
	t.see(now)
}

func (t *Track) see(width unit.Width) {
	us := uint64(max(0, width/1000)) % uint64(64*len(t.seen))
	t.seen[us/64] |= 1 << (us % 64)
}

// take is told the next width, and what all channels have.
func (t *Track) take(at unit.Time, width unit.Width, all *Widths) {
	if t.now = width; !t.known {
		t.known, t.rest = true, tallied(at, width)
		t.begin(at)
	}
	t.Least, t.Most = min(t.Least, width), max(t.Most, width)
	t.see(width)
	t.stand(at, width)
	t.turn(at, width, all)
}

// stand follows where it stands.
func (t *Track) stand(at unit.Time, width unit.Width) {
	if unit.Abs(width-t.rest.about) > flicker {
		t.rest = tallied(at, width)
	}
	t.rest.add(at, width)
	if t.rest.lasted() < standsFor {
		return
	}
	if n := len(t.Stands); n > 0 && t.Stands[n-1].From == t.rest.From {
		t.Stands[n-1] = t.rest.Stand
		return
	}
	t.Stands = kept(append(t.Stands, t.rest.Stand))
}

// turn follows where it turns round.
func (t *Track) turn(at unit.Time, width unit.Width, all *Widths) {
	way := t.way
	beyond := width - t.far.Width
	switch {
	case way == 0 && unit.Abs(beyond) < turnsBy:
		return
	case way == 0 || beyond*way <= -turnsBy:
		if way != 0 {
			t.Turns = kept(append(t.Turns, t.far))
		}
		if t.way = 1; beyond < 0 {
			t.way = -1
		}
		t.far, t.since = Turn{Width: width, At: at, With: *all}, at
		return
	case unit.Abs(beyond) > flicker && beyond*way < 0:
		return
	case beyond*way > flicker:
		t.since = at
	}
	t.far.At, t.far.Held = at, at.Sub(t.since)
	if beyond*way >= 0 {
		t.far.Width, t.far.With = width, *all
	}
}

func kept[T any](list []T) []T {
	if len(list) > mostKept {
		return append(list[:0], list[len(list)-mostKept:]...)
	}
	return list
}

// stands reports where the channel stands, once it has for so long.
func (t *Track) stands(long unit.Duration) (unit.Width, bool) {
	return t.rest.Width, t.known && t.rest.lasted() >= long
}

// smooth is how many widths, in whole microseconds, were seen at which it did not stand: a stick passes
// many, a switch none but the places that its lever is pushed over.
func (t *Track) smooth() int {
	places := make([]Place, len(t.Stands))
	for i := range places {
		places[i].Width = t.Stands[i].Width
	}
	return t.smoothBeside(places)
}

// smoothBeside is how many widths were seen beside some places.
func (t *Track) smoothBeside(places []Place) (n int) {
	left := t.seen
	for _, p := range places {
		for us := (p.Width-p.Spread)/1000 - 3; us <= (p.Width+p.Spread)/1000+3; us++ {
			at := uint64(max(0, us)) % uint64(64*len(left))
			left[at/64] &^= 1 << (at % 64)
		}
	}
	for _, word := range left {
		n += bits.OnesCount64(word)
	}
	return n
}

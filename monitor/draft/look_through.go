package draft

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// ordinals name the places of a switch, in the order in which it was put through them.
var ordinals = [...]string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}

// mostPlaces is how many places a switch can have here.
const mostPlaces = len(ordinals)

// lookThrough finds the channel that came to as many places as the switch has.
func (c *Conversation) lookThrough() {
	q := c.question
	var done, moved []int
	for _, n := range c.free(q.Control) {
		places := len(c.track(n).switched())
		if places > q.Places {
			c.say("Channel %d came to %d places, and %d were named. Go back to the count, or put the switch through its places once more.",
				n, places, q.Places)
			c.ask()
			return
		}
		if places >= 2 {
			moved = append(moved, n)
		}
		if places == q.Places && c.complete(n, q.Places) {
			done = append(done, n)
		}
	}
	c.settleThrough(done, moved)
}

// settleThrough decides by the channels that went through all places, and those that were switched at all.
func (c *Conversation) settleThrough(done, moved []int) {
	switch {
	case len(done) == 1 && len(moved) == 1:
		c.foundSwitch(done[0])
	case len(moved) == 2 && c.together(moved[0], moved[1]) == c.question.Places:
		c.keepPair(moved[0], moved[1])
	case len(done) == 1 && c.longRests(done[0]): // another one moved, but not through so many places
		c.foundSwitch(done[0])
	case len(done) > 1:
		c.say("Channels %s came to as many places. Once more, please: one switch alone.", numbers(done))
		c.ask()
	}
}

// longRests reports that a channel has stood for so long that another one which the same lever moves would have come
// to its last place too.
func (c *Conversation) longRests(n int) bool {
	_, rests := c.track(n).stands(2*placeFor + 200*unit.Millisecond)
	return rests
}

// complete reports that a switch went through its places for long enough to be no slip: one of two places goes
// there and back twice.
func (c *Conversation) complete(n, places int) bool {
	t := c.track(n)
	_, rests := t.stands(placeFor)
	if places > 2 {
		return rests
	}
	_, strokes := t.stroke()
	return strokes
}

// foundSwitch keeps the switch and its places.
func (c *Conversation) foundSwitch(n int) {
	key := c.question.Control
	found := c.Model.control(key, sheet.Switch, n, c.track(n).switched())
	c.sayFound(&found)
	c.done(func(m *Model) { m.Found[key], m.Pair = found, Pair{} })
}

// inOrder puts places that come in the order in which they were come to last into the order of the lever. One of two
// places goes there and back, so it ended where it began. And one that stood at its last place when it was asked may have
// gone through the others only: that place comes last where all are then in order.
func inOrder(places []Place) {
	n := len(places)
	if n == 2 {
		slices.Reverse(places)
	}
	rising := func(a, b Place) int { return int(a.Width - b.Width) }
	falling := func(a, b Place) int { return int(b.Width - a.Width) }
	turned := append(slices.Clone(places[1:]), places[0])
	for _, way := range []func(a, b Place) int{rising, falling} {
		if n > 2 && !slices.IsSortedFunc(places, rising) && !slices.IsSortedFunc(places, falling) && slices.IsSortedFunc(turned, way) {
			copy(places, turned)
			return
		}
	}
}

// control makes a control of places that were seen in their order.
func (m *Model) control(key, kind string, channel int, places []Place) Control {
	inOrder(places)
	for i := range places {
		places[i].Name = ordinals[i]
	}
	return Control{Key: key, Name: m.nameOf(key), Kind: kind, Channel: channel, Places: places, From: Measured}
}

// sayFound says what was found.
func (c *Conversation) sayFound(x *Control) {
	c.say("%s", x.sentence())
}

func numbers(list []int) (text string) {
	for i, n := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			text += " and "
		default:
			text += ", "
		}
		text += fmt.Sprint(n)
	}
	return text
}

// together is how many combinations of places two channels stood at at the same time.
func (c *Conversation) together(a, b int) int { return len(c.combined(a, b)) }

type pairOfPlaces struct{ a, b unit.Width }

func (c *Conversation) combined(a, b int) (list []pairOfPlaces) {
	at, bt := c.track(a), c.track(b)
	pa, pb := placesOf(at.Stands, 0), placesOf(bt.Stands, 0)
	seen := map[pairOfPlaces]bool{}
	for _, x := range at.Stands {
		for _, y := range bt.Stands {
			p := pairOfPlaces{nearestPlace(pa, x.Width), nearestPlace(pb, y.Width)}
			if min(x.To, y.To).Sub(max(x.From, y.From)) >= placeFor && !seen[p] {
				seen[p] = true
				list = append(list, p)
			}
		}
	}
	return list
}

func nearestPlace(list []Place, width unit.Width) unit.Width {
	for _, p := range list {
		if unit.Abs(p.Width-width) <= placesApart+p.Spread {
			return p.Width
		}
	}
	return width
}

// keepPair asks whether one switch moves both of two channels.
func (c *Conversation) keepPair(a, b int) {
	key := c.question.Control
	first := c.Model.control(key, sheet.Switch, a, c.track(a).switched())
	second := c.Model.control(key+"b", sheet.Switch, b, c.track(b).switched())
	c.done(func(m *Model) { m.Found[key], m.Found[key+"b"], m.Pair = first, second, Pair{key, [2]int{a, b}} })
}

// settlePair takes the answer to that.
func (m *Model) settlePair(key, words string) {
	m.Pair = Pair{}
	if words == wordYes {
		return
	}
	delete(m.Found, key)
	delete(m.Found, key+"b")
	delete(m.Done, key+":places")
	delete(m.Done, key+":both")
}

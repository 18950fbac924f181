package draft

import (
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// clearly is by how much farther than any other the one that is asked for goes, per mille.
const clearly = 1500

const putHeld = 900 * unit.Millisecond

// lookPut waits until a channel has moved and stands. Which one it is shows with the strokes.
func (c *Conversation) lookPut() {
	for _, n := range c.free(c.question.Control) {
		t := c.track(n)
		if at, stands := t.stands(putHeld); stands && unit.Abs(at-t.Began) >= strokeLeast {
			c.done(func(*Model) {})
			return
		}
	}
}

// candidate is a channel that made the strokes.
type candidate struct {
	channel int
	Stroke
}

// lookStroke finds the channel that went twice to a stop and back.
func (c *Conversation) lookStroke() {
	var list []candidate
	for n := 1; n <= c.Heard.channels(); n++ {
		if slices.Contains(c.Model.Beats, n) || slices.Contains(c.question.Never, n) {
			continue
		}
		if s, ok := c.track(n).stroke(); ok && c.rests(n, &s) {
			list = append(list, candidate{n, s})
		}
	}
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return int(b.travel() - a.travel()) })
	best := list[0]
	switch owner, other := c.Model.taken(best.channel), c.asFar(&best); {
	case other != 0:
		c.say("Channels %s went as far. Once more, please: one control alone. If it is always so, a mix in the transmitter moves both: take it out there.",
			numbers([]int{min(best.channel, other), max(best.channel, other)}))
		c.ask()
	case owner != "" && owner != c.question.Control:
		c.say("That was channel %d, which is %s. Once more, please; or go back, if that was the wrong one.", best.channel, c.Model.nameOf(owner))
		c.ask()
	default:
		c.foundStroke(&best)
	}
}

// asFar is a channel that went along with the strokes nearly as far as the one that made them, 0 for none.
func (c *Conversation) asFar(s *candidate) int {
	for n := 1; n <= c.Heard.channels(); n++ {
		if n != s.channel && !slices.Contains(c.Model.Beats, n) && unit.Abs(s.along(n-1))*clearly/1000 > s.travel() {
			return n
		}
	}
	return 0
}

// trimMost is how far a trim may have been pushed since all hands were off, ns.
const trimMost unit.Width = 60_000

// rests reports that strokes began and ended where the control rests: a stick by its spring, where it stood with all
// hands off.
func (c *Conversation) rests(channel int, s *Stroke) bool {
	switch c.Model.strokeKind(c.question) {
	case sheet.Stick, sheet.Momentary:
		return unit.Abs(s.Rest-c.Model.Rest[channel-1]) <= trimMost
	}
	return s.fromRest(c.track(channel))
}

func (c *Conversation) foundStroke(s *candidate) {
	q := c.question
	if before, ok := c.Model.Found[q.Control]; ok && !c.fits(&before, s) {
		return
	}
	mixes := c.alongWith(s)
	c.say("%s %s: channel %d at %s.", c.Model.nameOf(q.Control), q.End, s.channel, (&Place{Width: s.End, Spread: s.Spread, Times: 2}).String())
	c.done(func(m *Model) {
		found, ok := m.Found[q.Control]
		if !ok {
			found = Control{Key: q.Control, Name: m.nameOf(q.Control), Channel: s.channel, From: Measured}
		}
		end := Place{Name: q.End, Width: s.End, Spread: s.Spread, Times: 2}
		low := Place{Name: lowNames[q.End], Width: s.Rest, Spread: s.Apart, Times: 2}
		switch m.strokeKind(q) {
		case sheet.Stick:
			found.Kind, found.Places = sheet.Stick, append(found.Places, end)
			found.Rests = append(found.Rests, c.restsAbout(s)...)
		case sheet.Throttle:
			found.Kind, found.Places = sheet.Throttle, []Place{low, end}
		case sheet.Momentary:
			found.Kind, found.Places = sheet.Momentary, []Place{low, end}
		default:
			found.Kind, found.Places = sheet.Knob, []Place{low, end}
		}
		m.Found[q.Control] = found
		m.addMixes(mixes)
	})
}

// lowNames are the names of the place from which a stroke goes to an end.
var lowNames = map[string]string{"full": "idle", "high": "low", "pressed": "rest"}

// strokeKind is the kind of the control that a stroke is asked of.
func (m *Model) strokeKind(q *Question) string {
	switch q.End {
	case "full":
		return sheet.Throttle
	case "high":
		return sheet.Knob
	case "pressed":
		return sheet.Momentary
	}
	return sheet.Stick
}

// fits compares a stick's second end with its first one: the same channel, the other side. Where they contradict each
// other, it is not known which is right, and both are asked for again.
func (c *Conversation) fits(before *Control, s *candidate) bool {
	if len(before.Places) == 0 || before.Kind != sheet.Stick {
		return true
	}
	first := before.Places[0]
	same := before.Channel == s.channel
	if same && (first.Width > s.Rest) != (s.End > s.Rest) {
		return true
	}
	if same {
		c.say("Channel %d went to the same side for %s and for %s. Both once more, please.", s.channel, first.Name, c.question.End)
	} else {
		c.say("%s moved channel %d, and %s channel %d. Both once more, please.", first.Name, before.Channel, c.question.End, s.channel)
	}
	key := c.question.Control
	c.keep()
	delete(c.Model.Found, key)
	delete(c.Model.Done, key+":"+first.Name)
	c.ask()
	return false
}

// restsAbout are where the stick stood between and behind its strokes.
func (c *Conversation) restsAbout(s *candidate) (list []unit.Width) {
	for _, stand := range c.track(s.channel).Stands {
		if unit.Abs(stand.Width-s.Rest) <= restWithin {
			list = append(list, stand.Width)
		}
	}
	return list
}

// alongWith are the channels that went along with both strokes.
func (c *Conversation) alongWith(s *candidate) (list []Along) {
	for n := 1; n <= c.Heard.protocol.Channels; n++ {
		if n == s.channel || slices.Contains(c.Model.Beats, n) {
			continue
		}
		if off := s.along(n - 1); off != 0 {
			list = append(list, Along{c.question.Control, n, unit.Abs(off)})
		}
	}
	return list
}

func (m *Model) addMixes(list []Along) {
	for _, x := range list {
		i := slices.IndexFunc(m.Mixes, func(y Along) bool { return y.Key == x.Key && y.Channel == x.Channel })
		if i < 0 {
			m.Mixes = append(m.Mixes, x)
			continue
		}
		m.Mixes[i].Travel = max(m.Mixes[i].Travel, x.Travel)
	}
}

package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

// What the builder reads of what can be meant, but seldom is.
const (
	countsLikeWidths = "the counts of the scale, %d and %d, look like widths in microseconds: most receivers send 172 " +
		"counts at 988 us and 1811 at 2012 us; see what decode shows with a stick at its ends"
	gestureBySwitch = "%s starts from %s, a switch that is not momentary: a hand can set it off in flight; put it on a " +
		"momentary switch, or off"
	sameSigns = "%s and %s (outputs %d and %d) answer %s and %s with the same signs: one of the two sticks should " +
		"move them against each other; turn the sign of one stick on one of them"
	motorNotTested = "%s drives a motor, and the sheet does not say what it does without a signal: whether the motor " +
		"stops is not tested"
)

// Doubt is something in a sheet that may not be what its builder means. It is no
// mistake: it can be meant, so it is said and stops nothing.
type Doubt struct {
	File   string
	Line   int // from 1
	Column int // from 1, in characters
	Text   string
}

// String is the doubt as one line.
func (d Doubt) String() string {
	return fmt.Sprintf("%s:%d:%d: %s", d.File, d.Line, d.Column, d.Text)
}

// remark is a doubt before its place in the text was looked up by its keys.
type remark struct {
	text string
	path []string
}

func remarked(text string, path ...string) remark { return remark{text, path} }

// doubts are those of a sheet without a mistake, by place.
func (r *reader) doubts(root *node) (list []Doubt) {
	for _, x := range slices.Concat(r.sheet.unusual(), r.sheet.consequences()) {
		at := root.at(x.path)
		list = append(list, Doubt{r.file, at.line, at.column, x.text})
	}
	slices.SortStableFunc(list, func(a, b Doubt) int { return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column)) })
	return list
}

// at finds the key that a path of keys leads to, or the last on its way that is there.
func (n *node) at(path []string) *node {
	at := n
	for _, key := range path {
		i := slices.IndexFunc(n.entries, func(e entry) bool { return e.key.text == key })
		if i < 0 {
			break
		}
		at, n = n.entries[i].key, n.entries[i].value
	}
	return at
}

// unusual is what can be meant, but seldom is.
func (s *Sheet) unusual() (list []remark) {
	if alike(s.Scale) {
		list = append(list, remarked(fmt.Sprintf(countsLikeWidths,
			s.Scale.Counts[0], s.Scale.Counts[1]), "scale", "counts"))
	}
	list = append(list, s.elevonsAlike()...)
	list = append(list, s.motorWithoutWish()...)
	list = append(list, s.supplyDoubt()...)
	list = append(list, s.rightingDoubts()...)
	list = append(list, s.learningDoubts()...)
	for i := range s.Gestures {
		g := &s.Gestures[i]
		if c, _ := s.Channel(g.Channel); c.Kind != Momentary && g.Allowed != "always" {
			list = append(list, remarked(fmt.Sprintf(gestureBySwitch, g.Name, c.Name),
				"gestures", g.Name, "channel"))
		}
	}
	return list
}

// mixed are the pairs of sticks that two surfaces share: elevons and V-tails.
var mixed = [][2]string{{Roll, Pitch}, {Yaw, Pitch}}

// elevonsAlike finds surfaces that two sticks move, all of them the same way together:
// then one of the sticks moves no two of them against each other. It is so whichever
// way the servos are mounted.
func (s *Sheet) elevonsAlike() (list []remark) {
	for _, pair := range mixed {
		one, _, okOne := s.Reference(pair[0])
		other, _, okOther := s.Reference(pair[1])
		if !okOne || !okOther {
			continue
		}
		same, opposed := s.signs(one.Number, other.Number)
		if len(same) >= 2 && len(opposed) == 0 || len(opposed) >= 2 && len(same) == 0 {
			all := slices.Concat(same, opposed)
			first, last := all[0], all[len(all)-1]
			list = append(list, remarked(fmt.Sprintf(sameSigns,
				first.Surface, last.Surface, first.Number, last.Number, one.Name, other.Name), "outputs", strconv.Itoa(last.Number), "moved_by"))
		}
	}
	return list
}

// signs sorts the outputs that two channels move by whether both move them the same
// way.
func (s *Sheet) signs(one, other int) (same, opposed []*Output) {
	for i := range s.Outputs {
		o := &s.Outputs[i]
		switch a, b := o.weight(one), o.weight(other); {
		case a == 0 || b == 0: // not moved by both, or to be found
		case (a > 0) == (b > 0):
			same = append(same, o)
		default:
			opposed = append(opposed, o)
		}
	}
	return same, opposed
}

// weight is that of a channel, 0 where it does not move the output or is to be found.
func (o *Output) weight(channel int) int64 {
	for _, m := range o.MovedBy {
		if m.Channel == channel {
			return m.Weight
		}
	}
	return 0
}

// motorWithoutWish finds a motor of which the sheet does not say what it does without
// a signal, neither on the bus nor on the leads.
func (s *Sheet) motorWithoutWish() (list []remark) {
	for i := range s.Channels {
		c := &s.Channels[i]
		if c.Drives != "motor" || s.wished(c) {
			continue
		}
		path := []string{"channels", strconv.Itoa(c.Number)}
		if s.Failsafe != nil {
			path = []string{"failsafe"}
		}
		list = append(list, remarked(fmt.Sprintf(motorNotTested, c.Name), path...))
	}
	return list
}

func (s *Sheet) wished(c *Channel) bool {
	if _, ok := s.Preset(c.Number); ok {
		return true
	}
	if s.Failsafe == nil {
		return false
	}
	for i := range s.Outputs {
		o := &s.Outputs[i]
		if _, ok := s.Failsafe.Leads.Of(o.Number); ok && o.moves(c.Number) {
			return true
		}
	}
	return false
}

func (o *Output) moves(channel int) bool {
	return slices.ContainsFunc(o.MovedBy, func(m Movement) bool { return m.Channel == channel })
}

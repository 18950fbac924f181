package draft_test

import (
	"fmt"
	"strings"
)

// lever is a switch of a model. Widths are in µs.
type lever struct {
	key, name string // key: as prompts have it
	number    int
	places    []string
	widths    []int64
	also      *lever // a second channel that the same lever moves
	springs   bool
}

// moves are the levers of the script that the hand moves.
func (l *lever) moves() []string {
	if l.also != nil {
		return []string{l.name, l.also.name}
	}
	return []string{l.name}
}

type wantedMode struct {
	name string
	at   []int // of each lever
}

type stick struct {
	number  int
	ends    [2]int64 // of elevator back and forward, of the others left and right
	neutral int64
}

// truth is a model as its owner knows it.
type truth struct {
	name            string
	stick           map[string]stick
	throttle        int // channel, 0: none
	idle, cut, full int64
	gain            int // channel of the knob
	low, high       int64
	levers          []*lever
	modes           []wantedMode
	others          []string // "switch flaps": what is typed
	extra           []*lever // theirs
	teach           int
	rest, pressed   int64
	beats           int
	outputs         string                 // of the script
	moved           map[int]map[string]int // percent
	answers         map[string]string
	setup           string
}

func (m *truth) sticks() (list []string) {
	for _, name := range []string{"aileron", "elevator", "rudder"} {
		if _, ok := m.stick[name]; ok {
			list = append(list, name)
		}
	}
	return list
}

func (m *truth) endsOf(name string) [2]string {
	if name == "elevator" {
		return [2]string{"back", "forward"}
	}
	return [2]string{"left", "right"}
}

func (m *truth) lever(key string) *lever {
	for _, l := range append(m.levers, m.extra...) {
		if l.key == key {
			return l
		}
	}
	panic(key)
}

// strokeOf is where a stroke goes; "" where the model has no such control.
func (m *truth) strokeOf(control, end string) (name string, rest, to int64, springs bool) {
	switch control {
	case "gain":
		return "gain", m.low, m.high, false
	case "throttle":
		return "throttle", m.idle, m.full, false
	}
	s, ok := m.stick[control]
	if !ok {
		return "", 0, 0, false
	}
	if m.endsOf(control)[0] == end {
		return control, s.neutral, s.ends[0], true
	}
	return control, s.neutral, s.ends[1], true
}

// bench is the simulated one.
func (m *truth) bench() string {
	var b strings.Builder
	b.WriteString("hands varied\n")
	for _, name := range m.sticks() {
		s := m.stick[name]
		fmt.Fprintf(&b, "channel %d %s %d stops %d %d\n", s.number, name, s.neutral, min(s.ends[0], s.ends[1]), max(s.ends[0], s.ends[1]))
	}
	if m.throttle > 0 {
		fmt.Fprintf(&b, "channel %d throttle %d stops %d %d\n", m.throttle, m.idle, min(m.idle, m.full), max(m.idle, m.full))
		fmt.Fprintf(&b, "cutoff throttle %d\n", m.cut)
	}
	if m.gain > 0 {
		fmt.Fprintf(&b, "channel %d gain %d stops %d %d\n", m.gain, (m.low+m.high)/2+7, min(m.low, m.high), max(m.low, m.high))
	}
	var levers []*lever
	for _, l := range append(append([]*lever{}, m.levers...), m.extra...) {
		if levers = append(levers, l); l.also != nil {
			levers = append(levers, l.also)
		}
	}
	if m.teach > 0 {
		levers = append(levers, &lever{name: "teach", number: m.teach, places: []string{"rest", "pressed"}, widths: []int64{m.rest, m.pressed}})
	}
	for _, l := range levers {
		fmt.Fprintf(&b, "channel %d %s %d\n", l.number, l.name, l.widths[0])
		for i, place := range l.places {
			fmt.Fprintf(&b, "place %s %s %d\n", l.name, place, l.widths[i])
		}
	}
	if m.beats > 0 {
		fmt.Fprintf(&b, "channel %d beat 1500\nheartbeat beat 1200 1800 every 2s\n", m.beats)
	}
	b.WriteString(m.setup)
	if m.outputs != "" {
		b.WriteString("board leads of main\n" + m.outputs)
	}
	return b.String()
}

func spread(key, name string, number, places int, from, to int64) *lever {
	l := &lever{key: key, name: name, number: number}
	for i := range places {
		l.places = append(l.places, fmt.Sprintf("p%d", i))
		l.widths = append(l.widths, from+(to-from)*int64(i)/int64(places-1))
	}
	return l
}

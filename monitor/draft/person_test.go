package draft_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"time"
)

// prompt is what a person is shown: the data of a question, and nothing of who asks.
type prompt struct {
	id, act, control, end string
	choices               []string
	hasEnter              bool
}

// deed is one thing that a person does.
type deed struct {
	wait  time.Duration
	do    string // a step of a script; "" for none
	line  string // typed, with Enter
	typed bool
}

// person follows prompts on a simulated bench, with the truth about the own model in mind: careless hands, which
// know what is asked for and not how it is looked at.
type person struct {
	model    *truth
	rng      *rand.Rand
	careless int            // per cent of the prompts at which a mistake is made
	at       map[string]int // of each lever, its place
	wanted   int            // modes named so far
	others   int
}

func newPerson(m *truth, rng *rand.Rand, careless int) *person {
	return &person{model: m, rng: rng, careless: careless, at: map[string]int{}}
}

func (p *person) ms(from, to int) time.Duration {
	return time.Duration(from+p.rng.IntN(to-from+1)) * time.Millisecond
}

// types is how long a person reads, thinks and types.
func (p *person) types(words string) deed {
	return deed{wait: p.ms(1000, 2200) + time.Duration(len(words))*p.ms(120, 280), line: words, typed: true}
}

// reads is how long a person reads before the hands move.
func (p *person) reads() deed { return deed{wait: p.ms(700, 1800)} }

// follow is what is done at a prompt; slip: with a mistake before it.
func (p *person) follow(q prompt, slip bool) []deed {
	list := []deed{p.reads()}
	if slip && p.rng.IntN(100) < p.careless {
		list = append(list, p.slip(q)...)
	}
	return append(list, p.right(q)...)
}

func (p *person) right(q prompt) []deed {
	switch q.act {
	case "confirm":
		return []deed{p.types("yes")}
	case "tell", "choose":
		return []deed{p.types(p.answer(q))}
	case "rest":
		return append(p.letGo(), deed{wait: 4 * time.Second})
	case "through":
		return p.through(q.control)
	case "put":
		return append(p.moves("gain", p.model.low), deed{wait: time.Second}, p.types(""))
	case "stroke":
		return p.stroke(q)
	case "jump":
		if p.model.cut == p.model.idle {
			return []deed{p.types("")}
		}
		return []deed{{do: "cut on"}, {wait: time.Second}}
	case "back":
		return []deed{{do: "cut off"}, {wait: time.Second}}
	case "mode":
		return p.putMode()
	}
	return nil
}

// answer is what the person knows.
func (p *person) answer(q prompt) string {
	m := p.model
	if words, ok := m.answers[q.id]; ok {
		return words
	}
	if strings.HasPrefix(q.id, "other-") && !strings.Contains(q.id, ":") {
		if p.others < len(m.others) {
			p.others++
			return m.others[p.others-1]
		}
	}
	if part := q.id[strings.LastIndex(q.id, ":")+1:]; part == "count" {
		return strconv.Itoa(len(m.lever(q.control0()).widths))
	}
	if strings.HasSuffix(q.id, ":both") {
		return map[bool]string{true: "yes", false: "no"}[m.lever(q.control0()).also != nil]
	}
	if q.hasEnter {
		return ""
	}
	return q.choices[0]
}

// control0 is the control that a question in words is about.
func (q *prompt) control0() string {
	key, _, _ := strings.Cut(q.id, ":")
	return key
}

func (p *person) letGo() []deed {
	list := []deed{{wait: p.ms(100, 300), do: "release " + strings.Join(p.model.sticks(), " ")}}
	if p.model.throttle > 0 {
		list = append(list, p.moves("throttle", p.model.idle)...)
	}
	return list
}

func (p *person) moves(name string, us int64) []deed {
	over := p.ms(300, 900)
	return []deed{{do: fmt.Sprintf("stick %s %d over %dms", name, us, over.Milliseconds())}, {wait: over}}
}

// flips puts a lever, and what it moves too, to a place.
func (p *person) flips(l *lever, place int) (list []deed) {
	p.at[l.name] = place
	for _, name := range l.moves() {
		list = append(list, deed{do: name + " " + l.places[place]})
	}
	return list
}

func (p *person) through(control string) (list []deed) {
	l := p.model.lever(control)
	to := []int{}
	for i := range l.widths {
		to = append(to, i)
	}
	if len(l.widths) == 2 {
		there := p.at[l.name]
		to = []int{1 - there, there, 1 - there, there}
	}
	for _, place := range to {
		list = append(list, p.flips(l, place)...)
		list = append(list, deed{wait: p.ms(800, 1600)})
	}
	return list
}

func (p *person) stroke(q prompt) (list []deed) {
	if q.end == "pressed" {
		l := p.model.lever(q.control)
		for range 2 {
			list = append(list, deed{do: fmt.Sprintf("press %s for %dms", l.name, p.rng.IntN(600)+500)}, deed{wait: p.ms(1400, 2000)})
		}
		return list
	}
	name, rest, end, springs := p.model.strokeOf(q.control, q.end)
	if name == "" {
		return []deed{p.types("s")}
	}
	if !springs {
		list = append(list, p.moves(name, rest)...)
		list = append(list, deed{wait: p.ms(150, 500)})
	}
	for range 2 {
		list = append(list, p.moves(name, end)...)
		list = append(list, deed{wait: p.ms(200, 700)})
		if springs {
			list = append(list, deed{do: "release " + name}, deed{wait: p.ms(450, 900)})
		} else {
			list = append(list, p.moves(name, rest)...)
			list = append(list, deed{wait: p.ms(200, 600)})
		}
	}
	return list
}

func (p *person) putMode() (list []deed) {
	m := p.model
	if p.wanted >= len(m.modes) {
		return []deed{p.types("")}
	}
	want := m.modes[p.wanted]
	p.wanted++
	for i, l := range m.levers {
		if p.at[l.name] != want.at[i] {
			list = append(list, p.flips(l, want.at[i])...)
			list = append(list, deed{wait: p.ms(300, 700)})
		}
	}
	return append(list, p.types(want.name))
}

// slip is a mistake that hands make before they do what is right.
func (p *person) slip(q prompt) []deed {
	if !slices.Contains([]string{"rest", "through", "put", "stroke", "back"}, q.act) {
		return nil
	}
	kinds := []func(prompt) []deed{p.wrongStick, p.earlyEnter, p.earlyEnter, p.otherSwitch, p.pauses, p.repeats, p.pushesATrim, p.halfAStroke}
	return kinds[p.rng.IntN(len(kinds))](q)
}

func (p *person) oneStick() string {
	sticks := p.model.sticks()
	return sticks[p.rng.IntN(len(sticks))]
}

// wrongStick moves a stick, and may press Enter.
func (p *person) wrongStick(prompt) []deed {
	wrong := p.oneStick()
	_, _, end, _ := p.model.strokeOf(wrong, p.model.endsOf(wrong)[p.rng.IntN(2)])
	list := append(p.moves(wrong, end), deed{wait: p.ms(100, 900)})
	if p.rng.IntN(2) == 0 {
		list = append(list, deed{typed: true})
	}
	return append(list, deed{do: "release " + wrong}, deed{wait: p.ms(500, 1200)})
}

func (p *person) earlyEnter(prompt) []deed {
	return []deed{{wait: p.ms(50, 1900), typed: true}, {wait: p.ms(300, 900)}}
}

// otherSwitch flips one of the two mode switches, and puts it back.
func (p *person) otherSwitch(prompt) []deed {
	if len(p.model.levers) < 2 {
		return nil
	}
	l := p.model.levers[p.rng.IntN(2)]
	was := p.at[l.name]
	list := append(p.flips(l, p.rng.IntN(len(l.widths))), deed{wait: p.ms(100, 1200)})
	return append(append(list, p.flips(l, was)...), deed{wait: p.ms(300, 900)})
}

func (p *person) pauses(prompt) []deed { return []deed{{wait: p.ms(1500, 6000)}} }

func (p *person) repeats(prompt) []deed { return []deed{p.types("r")} }

func (p *person) pushesATrim(prompt) []deed {
	wrong, off := p.oneStick(), 12+p.rng.IntN(40)
	return []deed{{do: fmt.Sprintf("trim %s %d", wrong, off)}, {wait: p.ms(600, 1600)}, {do: fmt.Sprintf("trim %s 0", wrong)}, {wait: p.ms(300, 900)}}
}

// halfAStroke turns round half way.
func (p *person) halfAStroke(q prompt) []deed {
	name, rest, end, springs := p.model.strokeOf(q.control, q.end)
	if q.act != "stroke" && q.act != "put" || name == "" || q.end == "pressed" {
		return nil
	}
	list := append(p.moves(name, (rest+end)/2), deed{wait: p.ms(200, 2000)})
	if springs {
		return append(list, deed{do: "release " + name}, deed{wait: p.ms(450, 900)})
	}
	return append(append(list, p.moves(name, rest)...), deed{wait: p.ms(200, 600)})
}

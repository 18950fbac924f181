package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"benchproof.example/monitor/unit"
)

// MaxOutputs is the highest output number.
const MaxOutputs = 32

// Output is one servo lead of the receiver.
type Output struct {
	Number   int
	Surface  string     // free text: what it moves
	MovedBy  []Movement // in the order of the sheet
	Corrects []string   // axes that the stabiliser corrects with it: "roll", "pitch", "yaw"
	Travel   *Travel    // wanted; nil: the sheet does not say
}

// Travel is how far an output is wanted to go: from the narrowest pulse to the widest, ns.
type Travel struct{ From, To unit.Width }

// Wanted is the end on one side.
func (t *Travel) Wanted(upper bool) unit.Width {
	if upper {
		return t.To
	}
	return t.From
}

// Movement says how far a channel moves an output: pulse travel against
// channel travel, the sign for the direction.
type Movement struct {
	Channel int
	Find    bool  // "?" in the sheet: to be found, then the eye is asked
	Weight  int64 // parts per million: 1000000 moves it as far as the channel, the same way; 0 with Find
}

// Output finds an output by its number; false where the sheet has none.
func (s *Sheet) Output(number int) (*Output, bool) {
	for i := range s.Outputs {
		if s.Outputs[i].Number == number {
			return &s.Outputs[i], true
		}
	}
	return nil, false
}

func (r *reader) outputs(n *node) {
	for _, e := range r.entries(n) {
		number, ok := r.whole(e.key)
		o := r.output(e)
		if o.Number = number; ok {
			r.sheet.Outputs = append(r.sheet.Outputs, o)
		}
	}
	slices.SortFunc(r.sheet.Outputs, func(a, b Output) int { return cmp.Compare(a.Number, b.Number) })
}

func (r *reader) output(e entry) Output {
	var o Output
	rec := r.record(e.value, "output "+e.key.text)
	o.Surface, _ = r.text(rec.get("surface"))
	for _, m := range r.entries(rec.get("moved_by")) {
		if c, ok := r.channel(m.key); ok {
			movement := r.movement(m.value)
			movement.Channel = c.Number
			o.MovedBy = append(o.MovedBy, movement)
		}
	}
	for _, n := range r.list(rec.get("corrects")) {
		axis, ok := r.choice(n)
		if ok && slices.Contains(o.Corrects, axis) {
			r.refuse(n, axis+" a second time", "each axis once")
		}
		o.Corrects = append(o.Corrects, axis)
	}
	o.Travel = r.outputTravel(rec.get("travel"))
	return o
}

// outputTravel reads how far an output is wanted to go.
func (r *reader) outputTravel(n *node) *Travel {
	if n == nil {
		return nil
	}
	rec := r.record(n, "the travel")
	from, okFrom := r.pulse(rec.get("from"))
	to, okTo := r.pulse(rec.get("to"))
	if !okFrom || !okTo {
		return nil
	}
	if from >= to {
		r.refuse(n, fmt.Sprintf("a travel from %s to %s", micros(from), micros(to)), "the narrower width as from, and a wider one as to,")
		return nil
	}
	return &Travel{from, to}
}

func (r *reader) movement(n *node) Movement {
	if n.shape == word && n.text == "?" {
		return Movement{Find: true}
	}
	const most = 10_000_000
	weight, ok := r.between(n, weights, -most, most, "a number from -10 to 10")
	if ok && weight == 0 {
		r.refuse(n, n.text+", which moves nothing", `a number such as 1.0 or -0.5, "?", or the channel left out`)
	}
	return Movement{Weight: weight}
}

// outputsCalled finds the outputs that a key of "leads" means.
func (r *reader) outputsCalled(key *node) []int {
	var numbers []int
	var known []string
	for i := range r.sheet.Outputs {
		o := &r.sheet.Outputs[i]
		if o.Surface == "" {
			return nil // reported there; the key may mean this one
		}
		if r.sheet.isCalled(o, key.text) {
			numbers = append(numbers, o.Number)
		}
		known = append(known, o.Surface)
	}
	if len(numbers) == 0 {
		want := suggest(key.text, known)
		if len(known) == 0 {
			want = "default alone, or an outputs section that names the output,"
		}
		r.refuse(key, fmt.Sprintf("%s, which is no output of this sheet", key.describe()), want)
	}
	return numbers
}

// isCalled reports that a key of the presets of outputs means an output: by its number, by its
// surface, or as one that a motor's channel moves.
func (s *Sheet) isCalled(o *Output, key string) bool {
	return key == strconv.Itoa(o.Number) || key == o.Surface || key == "motor" && s.drivesMotor(o)
}

func (s *Sheet) drivesMotor(o *Output) bool {
	for _, m := range o.MovedBy {
		if c, ok := s.Channel(m.Channel); ok && c.Drives == "motor" {
			return true
		}
	}
	return false
}

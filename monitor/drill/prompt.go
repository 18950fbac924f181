package drill

import (
	"fmt"
	"slices"
	"time"

	"benchproof.example/monitor/unit"
)

// How a prompt is answered, where nobody says otherwise.
const (
	ByWire    = "wire"    // the bus shows it
	ByCount   = "count"   // its time passes
	ByBuilder = "builder" // only who did it can say so
	ByWords   = "words"   // who did it says it in words
	ByMarks   = "marks"   // words set a mark, and nothing leaves it
)

// Answers says how a prompt is answered: one of the words above.
func (p *Prompt) Answers() string {
	u := &p.Until
	switch {
	case u.Told:
		return ByWords
	case u.Marks:
		return ByMarks
	case u.After > 0:
		return ByCount
	case len(u.Targets) > 0 || len(u.AwayFrom) > 0 || u.Loss != "" || u.Gesture != "":
		return ByWire
	}
	return ByBuilder
}

// InWords reports that a prompt is answered in words.
func (p *Prompt) InWords() bool { return p.Until.Told || p.Until.Marks }

// bothHands are the acts that leave no hand free: at the model, or on both sticks.
var bothHands = []Act{ActCount, ActTilt, ActOpposite, ActLevel, ActOff, ActStir}

// Hands reports that a prompt takes both hands, and goes on without one: who follows it is
// asked for no key and no touch. A tilt is still confirmed by a helper who wants to.
func (p *Prompt) Hands() bool {
	by := p.Answers()
	return (by == ByWire || by == ByCount) && (p.Held || slices.Contains(bothHands, p.Asks.Act))
}

// What a prompt that ends by itself says of an Enter before that: when the next one comes, and
// what is lost.
const enterComesEarly = "The next prompt comes by itself%s. Enter goes on at once, and then %s."

// EarlySays says what an answer of the builder costs before the wire, or the time, answers; ""
// where it costs nothing.
func (p *Prompt) EarlySays() string {
	if p.Early == "" {
		return ""
	}
	comes := ", once the bus shows it"
	if p.Until.After > 0 {
		comes = fmt.Sprintf(" in %d s", p.Until.After/unit.Second)
	}
	return fmt.Sprintf(enterComesEarly, comes, p.Early)
}

// Does says what an answer to a prompt does, and other keys beside it do not.
func (p *Prompt) Does() string {
	switch {
	case p.Until.Told:
		return "words, and Enter"
	case p.Until.Marks:
		return "a distance and Enter, Enter alone before you walk on"
	case p.Until.Hold:
		return fmt.Sprintf("%.1f s, then the next comes by itself", time.Duration(p.Until.After).Seconds())
	case p.Early != "":
		return "Enter to go on early"
	}
	return "Enter when done"
}

// Again reports that prompts can be said and measured anew: what a receiver did is not taken
// back.
func (p *Plan) Again() bool { return !p.Loses && !p.Unpowers && !p.Memory && !p.Learns }

// MovesOutputs reports that outputs are moved in it otherwise than by sticks: by hands that tilt the model, or
// by the receiver.
func (p *Plan) MovesOutputs() bool { return p.Tilts || p.Learns }

// Prompt finds a prompt by its ID; one without anything where the plan has none, or is nil.
func (p *Plan) Prompt(id string) *Prompt {
	if p != nil {
		for i := range p.Prompts {
			if p.Prompts[i].ID == id {
				return &p.Prompts[i]
			}
		}
	}
	return &Prompt{}
}

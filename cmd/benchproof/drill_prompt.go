package main

import (
	"fmt"
	"time"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
)

// What a drill shows of its beginning and of its prompts.

func (e *drillDialogue) began(d event.DrillBeganData) {
	e.cautions("Drill %s, %d prompts. Before it begins, all of this must be so:", d)
	fmt.Fprint(e.talk, "\nType yes if all of it is so; anything else ends here: ")
	e.asking, e.open = askCautions, true
}

// cautions lists them; heading takes the drill's name and the number of its prompts.
func (e *drillDialogue) cautions(heading string, d event.DrillBeganData) {
	fmt.Fprintf(e.talk, "\n"+heading+"\n\n", e.name, d.Prompts)
	for _, c := range d.Cautions {
		sayBehind(e.talk, "  - ", c)
	}
}

func (e *drillDialogue) prompted(d event.DrillPromptedData) {
	p := e.plan.Prompt(d.Prompt)
	fmt.Fprintf(e.talk, "\n\n  [%d of %d]\n\n", d.Number, d.Of)
	sayBehind(e.talk, "      ", d.Text)
	fmt.Fprintln(e.talk)
	if costs := p.EarlySays(); costs != "" {
		sayBehind(e.talk, "  ", costs)
	}
	fmt.Fprintf(e.talk, "  %s: ", e.keys(p))
	e.asking, e.begun, e.open, e.looked = d.Prompt, true, true, false
	e.count.from(time.Duration(p.Until.After))
}

// hint asks about the prompt that stands.
func (e *drillDialogue) hint(d event.DrillHintData) {
	fmt.Fprintf(e.talk, "\n  %s: ", d.Why)
	e.asking, e.open, e.looked = d.Prompt, true, false
}

// keys says what the person can type at a prompt. What a receiver did is not taken back.
func (e *drillDialogue) keys(p *drill.Prompt) string {
	if e.plan != nil && !e.plan.Again() {
		return p.Does() + ", q to abandon"
	}
	return p.Does() + ", r to repeat, b to go back, q to abandon"
}

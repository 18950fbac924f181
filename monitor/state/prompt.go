package state

import "benchproof.example/monitor/unit"

// Prompt is how far a drill is that waits for the builder.
type Prompt struct {
	ID      string        `json:"id"`      // of the prompt that stands, "" while the cautions do
	Waits   []Wait        `json:"waits"`   // for what, as far as the bus shows it
	LeftNS  unit.Duration `json:"left_ns"` // until the drill ends by itself; 0: the prompt does before that
	Warning string        `json:"warning"` // that it soon does, a sentence; "" while there is time
}

// Wait is one thing that a prompt waits for, or asks for beside what it waits for.
type Wait struct {
	Name  string `json:"name"`  // of the control, or "signal", "sticks" or "bus"
	Sees  string `json:"sees"`  // a width with its unit, or words; "" where nothing can be seen
	Wants string `json:"wants"` // likewise; "" where nothing is waited for
	Met   bool   `json:"met"`   // it is as asked
	Text  string `json:"text"`  // all of it, a sentence without its full stop
}

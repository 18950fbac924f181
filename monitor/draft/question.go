package draft

// Question is what the builder is asked, as data: a page can show it as well as a terminal.
type Question struct {
	ID       string   `json:"id"`
	Act      Act      `json:"act"`
	Control  string   `json:"control,omitempty"` // the key of what is moved or asked about, such as "elevator"; see the keys of Model.Found
	End      string   `json:"end,omitempty"`     // the end that is gone to, by its name
	Wants    Wants    `json:"wants,omitempty"`   // of ActTell: what is to be typed
	Places   int      `json:"places,omitempty"`  // of the switch that is put through them, or whose windows are asked for
	Text     string   `json:"text"`
	Cautions []string `json:"cautions,omitempty"`
	Choices  []Choice `json:"choices,omitempty"` // of ActChoose: one of these words
	Enter    string   `json:"enter,omitempty"`   // what an Enter alone stands for, as a word; "": nothing
	Means    string   `json:"means,omitempty"`   // what an Enter alone means, for people
	Never    []int    `json:"never,omitempty"`   // channels that must not be moved: they start limit learning
	NoSkip   bool     `json:"no_skip,omitempty"`
}

// Choice is a word that may be typed, and what it means.
type Choice struct {
	Word  string `json:"word"`
	Means string `json:"means"`
}

// Act is what is to be done.
type Act string

// The acts. At those that the wire answers no Enter is needed.
const (
	ActConfirm Act = "confirm" // the cautions hold: yes is typed
	ActTell    Act = "tell"    // something is typed
	ActChoose  Act = "choose"  // one of the choices is typed
	ActRest    Act = "rest"    // everything is let go, and nothing touched
	ActThrough Act = "through" // a switch is put through all of its places, one after the other
	ActPut     Act = "put"     // a control is put to an end, and left there
	ActStroke  Act = "stroke"  // a control goes to a stop and back, twice
	ActJump    Act = "jump"    // the throttle cut is put on
	ActBack    Act = "back"    // and off again
	ActPutMode Act = "mode"    // the switches are put where a mode is wanted, and its name is typed
)

// Wants is what an answer in words is to be.
type Wants string

// What is wanted.
const (
	WantsText    Wants = "text"    // anything on one line
	WantsChannel Wants = "channel" // the number of a channel that nothing else has
	WantsCount   Wants = "count"   // how many places a switch has
	WantsWidth   Wants = "width"   // in whole microseconds
	WantsTimes   Wants = "times"   // how often, and in how many seconds
	WantsEdges   Wants = "edges"   // of windows, in whole microseconds, rising
	WantsControl Wants = "control" // switch, knob or momentary, and a name
)

// Wire reports that the wire answers it, so that no hand is needed for the keyboard.
func (q *Question) Wire() bool {
	switch q.Act {
	case ActRest, ActThrough, ActPut, ActStroke, ActJump, ActBack:
		return true
	}
	return false
}

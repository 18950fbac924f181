package event

import (
	"strings"

	"benchproof.example/monitor/unit"
)

// A drill is a short exercise with a beginning and an end, for what the wire
// alone can't show. Its steps are inputs, so a replay repeats them.

// DrillStep is the Data of a InputDrillStep input, as JSON.
type DrillStep struct {
	Drill string `json:"drill"` // its name
	Do    string `json:"do"`    // StepBegin, StepConfirm, StepDone, StepRepeat, StepBack or StepAbandon
	// Prompt is, with StepDone, the ID of the prompt that is answered, so that an
	// answer which crosses the wire's own is not taken for the next; "" for
	// whichever stands.
	Prompt string `json:"prompt,omitempty"`
	// By is, with StepBegin, who follows the prompts: the record names who tilted
	// the model. "" where nobody said.
	By string `json:"by,omitempty"`
	// Attended is, with StepBegin, that somebody is there to be asked: an answer that
	// comes too early or fits nothing that moved is then asked about with a
	// drill.hint. Recordings from before that have it not, and read as they did.
	Attended bool `json:"asks,omitempty"`
}

// What a Step does.
const (
	StepBegin   = "begin"
	StepConfirm = "confirm" // the cautions were read and hold
	StepDone    = "done"    // the builder did what the prompt asks for
	StepRepeat  = "repeat"  // the prompt is said again, and measured anew
	StepBack    = "back"    // the prompt before stands again
	StepAbandon = "abandon"
)

// The kinds of event of a drill and their data. They are about "drill:NAME".
const (
	DrillBegan    = "drill.began"    // DrillBeganData
	DrillPrompted = "drill.prompted" // DrillPromptedData
	DrillAnswered = "drill.answered" // DrillAnsweredData
	DrillHint     = "drill.hint"     // DrillHintData: a step that answered nothing
	DrillEnded    = "drill.ended"    // DrillEndedData
	DrillRefused  = "drill.refused"  // ReasonData: the step could not be taken
)

// DrillBeganData belongs to drill.began. The first prompt waits for the cautions
// to be confirmed, where there are any.
type DrillBeganData struct {
	Cautions []string `json:"cautions"`
	Prompts  int      `json:"prompts"`
	By       string   `json:"by,omitempty"` // who follows the prompts, "" where nobody said
}

// DrillPromptedData belongs to drill.prompted.
type DrillPromptedData struct {
	Prompt string `json:"prompt"` // its ID, see package drill
	Text   string `json:"text"`   // what to do, a sentence
	Number int    `json:"number"` // from 1
	Of     int    `json:"of"`
}

// DrillHintData belongs to drill.hint: the prompt stands on, and this is why.
type DrillHintData struct {
	Prompt string `json:"prompt"` // its ID
	Why    string `json:"why"`    // what to do, a sentence
}

// DrillAnsweredData belongs to drill.answered: what the wire did between a prompt and
// its answer.
type DrillAnsweredData struct {
	Prompt   string        `json:"prompt"`
	By       string        `json:"by"` // "wire": it showed what was asked for; "builder": said to be done; "count": its time had passed
	Tap      string        `json:"tap"`
	Signal   Signal        `json:"signal"`            // the worst since the prompt; single missed frames are left out
	Suspect  bool          `json:"suspect,omitempty"` // many channels leapt at once since the prompt, as presets do
	Frames   int64         `json:"frames"`            // live frames judged since the prompt; 0: none was heard
	Channels []ChannelMove `json:"channels"`

	Outputs []OutputMove `json:"outputs,omitempty"` // of the leads, where a board listens
	Mode    string       `json:"mode,omitempty"`    // asked for at the answer, "" for none of the sheet's
	Who     string       `json:"who,omitempty"`     // who follows the prompts, "" where nobody said
}

// ChannelMove is what one channel did since a prompt. All sixteen are reported, and of the
// digital channels 17 and 18 those that the sheet has. A width that three frames or
// fewer had is left out.
type ChannelMove struct {
	Channel int `json:"channel"` // from 1
	// FromNS is the width at the prompt. Where one channel was asked for and moved, that
	// of the others is the one that they had as it began to, and what they did before is
	// left out.
	FromNS  unit.Width `json:"from_ns"`
	ToNS    unit.Width `json:"to_ns"` // at the answer
	LeastNS unit.Width `json:"least_ns"`
	MostNS  unit.Width `json:"most_ns"`
	// FlatNS is how long the channel then stood at the extreme that it went to,
	// exactly, in one piece; FastNS how far it went in the last 30 ms before. A
	// hand slows down before it stops: fast and then flat is a limit that cuts
	// travel off. Of two extremes it went to the one farther from FromNS.
	FlatNS unit.Duration `json:"flat_ns"`
	FastNS unit.Width    `json:"fast_ns"`
}

// DrillEndedData belongs to drill.ended.
type DrillEndedData struct {
	How string `json:"how"` // finished, abandoned, timed out, interrupted
	Why string `json:"why"` // a sentence, "" where How says it all
}

// The failsafe drill, whose prompts are "failsafe/ROUND/STEP".
const (
	FailsafeDrill = "failsafe"

	PromptAway   = "away"   // everything is to be away from its preset
	PromptOff    = "off"    // the transmitter is to be switched off
	PromptSettle = "settle" // what the receiver does is watched
	PromptOn     = "on"     // everything home, and on again
	PromptBack   = "back"   // the signal is waited for
)

// PowerUpDrill names the drill whose prompts are "power-up/STEP": PromptOff, PromptOn.
const PowerUpDrill = "power-up"

// PromptPart is the last part of a prompt's ID.
func PromptPart(id string) string { return id[strings.LastIndexByte(id, '/')+1:] }

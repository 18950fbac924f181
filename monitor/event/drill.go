package event

import (
	"fmt"
	"strings"
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
	// Words are, with StepDone, what was typed where a prompt is answered in words; at most
	// MostWords characters count.
	Words string `json:"words,omitempty"`
}

// MostWords is how long what is typed at a prompt may be, characters.
const MostWords = 120

// What a Step does.
const (
	StepBegin   = "begin"
	StepConfirm = "confirm" // the cautions were read and hold
	StepDone    = "done"    // the builder did what the prompt asks for
	StepRepeat  = "repeat"  // the prompt is said again, and measured anew
	StepBack    = "back"    // the prompt before stands again
	StepAbandon = "abandon"
)

// The kinds of event of a drill.
const (
	DrillBegan    = "drill.began"
	DrillPrompted = "drill.prompted"
	DrillHint     = "drill.hint"
	DrillAnswered = "drill.answered"
	DrillEnded    = "drill.ended"
	DrillRefused  = "drill.refused"
	RangeMark     = "range.mark"
	LevelLearned  = "level.learned"
	LimitsLearned = "limits.learned"
)

var drillKinds = []Row{
	drillRow(DrillBegan, "The first prompt waits for the cautions to be confirmed, where there are any.", beganSentence),
	drillRow(DrillPrompted, "What to do.", func(_ *Event, name string, d *DrillPromptedData) string {
		return fmt.Sprintf("drill %s, %d of %d: %s", name, d.Number, d.Of, d.Text)
	}),
	drillRow(DrillHint, "The prompt stands on, and this is why: a step that answered nothing.",
		func(_ *Event, name string, d *DrillHintData) string {
			return fmt.Sprintf("drill %s: %s", name, d.Why)
		}),
	drillRow(DrillAnswered, "What the wire did between a prompt and its answer.",
		func(e *Event, _ string, d *DrillAnsweredData) string {
			return PromptAnswer(d, e.At.Sub(e.From), ChannelNumber)
		}),
	drillRow(RangeMark, "A mark of a range walk: each ten seconds while somebody stands there, and once it is left. "+
		"It is no maker's range check.", rangeSentence),
	drillRow(LevelLearned, "The levelling drill was done to its end: on which sides the model lay, for how long, and how it is known "+
		"that it lay still. What the receiver learned is not on the wire.", levelledSentence),
	drillRow(LimitsLearned, "The drill of limit learning was done to its end: each step of the sheet's procedure, and whether the wire showed it, "+
		"or who did it said so. What the receiver learned is not on the wire; the drill learned shows whether it took.", limitsLearnedSentence),
	drillRow(DrillEnded, "It is over.", endedSentence),
	drillRow(DrillRefused, "A step could not be taken.", refusedSentence),
}

// drillRow is the row of a kind that is about a drill. Its events answer one another, so
// that they are shown with the moment itself.
func drillRow[D any](kind, meaning string, sentence func(e *Event, name string, d *D) string) Row {
	return atMoment(row(kind, "drill:NAME", meaning, sentence))
}

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

// DrillEndedData belongs to drill.ended.
type DrillEndedData struct {
	How string `json:"how"` // finished, abandoned, timed out, interrupted
	Why string `json:"why"` // a sentence, "" where How says it all
}

// The last parts of prompts' IDs that those have to know who follow prompts.
const (
	PromptAway     = "away"   // everything is to be away from its preset
	PromptOff      = "off"    // the transmitter is to be switched off
	PromptSettle   = "settle" // what the receiver does is watched
	PromptOn       = "on"     // everything home, and on again
	PromptBack     = "back"   // the signal is waited for
	PromptStick    = "stick"  // the stick that the answer is compared with is held over
	PromptTilted   = "there"  // tilted, and held: tail raised, left wing raised, nose jerked left
	PromptOpposite = "other"  // the opposite
	PromptLook     = "eye"    // the surface is looked at
	PromptWalk     = "walk"   // somebody walks from mark to mark
)

// PromptPart is the last part of a prompt's ID.
func PromptPart(id string) string { return id[strings.LastIndexByte(id, '/')+1:] }

func beganSentence(_ *Event, name string, d *DrillBeganData) string {
	whose := ""
	if d.By != "" {
		whose = ", followed by " + d.By
	}
	return fmt.Sprintf("drill %s began: %d prompts%s, once its cautions are confirmed", name, d.Prompts, whose)
}

func endedSentence(_ *Event, name string, d *DrillEndedData) string {
	s := fmt.Sprintf("drill %s %s", name, d.How)
	if d.Why != "" {
		s += ": " + d.Why
	}
	return s
}

func refusedSentence(e *Event, name string, d *ReasonData) string {
	if name == e.About { // of no drill of the sheet
		return "a drill step was refused: " + d.Why
	}
	return "drill " + name + " refused a step: " + d.Why
}

package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// DrillAnsweredData belongs to drill.answered: what the wire did between a prompt and
// its answer.
type DrillAnsweredData struct {
	Prompt   string        `json:"prompt"` // its ID
	By       string        `json:"by"`     // "wire": it showed what was asked for; "builder": said to be done; "count": its time had passed
	Tap      string        `json:"tap"`
	Signal   Signal        `json:"signal"`            // the worst since the prompt; single missed frames are left out
	Suspect  bool          `json:"suspect,omitempty"` // many channels leapt at once since the prompt, as presets do
	Frames   int64         `json:"frames"`            // live frames judged since the prompt; 0: none was heard
	Channels []ChannelMove `json:"channels"`

	Outputs []OutputMove `json:"outputs,omitempty"` // of the leads, where a board listens
	Mode    string       `json:"mode,omitempty"`    // asked for at the answer, "" for none of the sheet's
	Tilt    *TiltSeen    `json:"tilt,omitempty"`    // of a tilt that was asked for, where a phone lies on the model: what it saw
	Who     string       `json:"who,omitempty"`     // who follows the prompts, "" where nobody said
	Text    string       `json:"text,omitempty"`    // what it asked for, as drill.prompted has it
	// StirredNS is how long all sticks but the throttle were stirred at once, where that counts: on the move, or half a second after.
	StirredNS unit.Duration `json:"stirred_ns,omitempty"`
	Words     string        `json:"words,omitempty"` // what was typed, where it is answered in words
	Doubt     string        `json:"doubt,omitempty"` // with "builder": what speaks against it, or what came too early; a clause
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

// OutputMove is what one output did since a prompt. Widths that a single pulse
// had are left out.
type OutputMove struct {
	Output    int        `json:"output"`
	FromNS    unit.Width `json:"from_ns"`  // at the prompt
	SwayNS    unit.Width `json:"sway_ns"`  // how far it went to and fro in the half second that began a second before the prompt, or a tenth sooner
	LeastNS   unit.Width `json:"least_ns"` // since
	MostNS    unit.Width `json:"most_ns"`
	EndMeanNS unit.Width `json:"late_ns"` // mean over the last second before the answer
	Pulses    int64      `json:"pulses"`  // since the prompt; 0: it was silent

	// For tilts. A hand may be ahead of the count by half a second, so that these begin
	// then.
	TiltRestNS    unit.Width    `json:"rest_ns"`    // where it stood in that half second; 0: it was silent
	TiltSwayNS    unit.Width    `json:"stir_ns"`    // how far it went to and fro in the two seconds before that half second ended
	TiltLeastNS   unit.Width    `json:"low_ns"`     // least since half a second before the prompt
	TiltMostNS    unit.Width    `json:"high_ns"`    // most
	TiltLeastAtNS unit.Duration `json:"low_at_ns"`  // when that was, from the prompt
	TiltMostAtNS  unit.Duration `json:"high_at_ns"` // likewise
	// TiltAwayNS is how long it stood at half or more of the way from TiltRestNS to the farther of the two;
	// tenths of seconds, of the last six.
	TiltAwayNS unit.Duration `json:"away_ns"`

	// For stillness, in drills in which that counts.
	StoodNS unit.Duration `json:"stood_ns,omitempty"` // how long it had stood within 8 µs of a width at the answer, since the prompt at most
	FirstNS unit.Duration `json:"first_ns,omitempty"` // from the prompt to its first pulse since
}

// How far a channel or an output went to be worth a word, ns of width: a hand moves a
// stick far, a stabiliser an output only a little.
const (
	movedLeast    = 30_000
	answeredLeast = 12_000
)

// answeredBy says how a prompt was answered, by AnswerData.By.
var answeredBy = map[string]string{"wire": "seen", "count": "done on the count"}

// hearable is how long a prompt lasts before what was not heard meanwhile was absent: about
// five periods of servo pulses or of a bus, as for silence (common practice). An Enter may
// come within a pulse of the one before, as from a file of lines.
const hearable = 100 * unit.Millisecond

// ChannelNumber is what a channel is called where there is no sheet to name it.
func ChannelNumber(channel int) string { return fmt.Sprintf("channel %d", channel) }

// PromptAnswer says what the wire did at a prompt that stood for so long; called names a channel
// by its number, and "" leaves it out.
func PromptAnswer(d *DrillAnsweredData, lasted unit.Duration, called func(channel int) string) string {
	if d.Words != "" {
		return PromptWords(d) + ": " + d.Words
	}
	s := PromptWords(d) + ": " + howAnswered(d)
	if PromptPart(d.Prompt) == PromptWalk { // what was missed is said mark by mark
		return s
	}
	short := d.By == "builder" && lasted < hearable
	switch {
	case d.Frames == 0 && short:
		return s + "; after " + unit.FormatDuration(lasted) + ", too soon for anything to be heard"
	case d.Frames == 0:
		return s + "; no live frame was heard meanwhile"
	}
	var parts []string
	for _, m := range d.Channels {
		name := called(m.Channel)
		if far := max(m.MostNS-m.FromNS, m.FromNS-m.LeastNS); far >= movedLeast && name != "" {
			parts = append(parts, fmt.Sprintf("%s %s to %s", name, unit.FormatWidth(m.FromNS), unit.FormatWidth(m.ToNS)))
		}
	}
	if len(parts) == 0 {
		parts = []string{"no channel moved"}
	}
	parts = append(parts, outputsMoved(d.Outputs, short)...)
	return s + "; " + strings.Join(parts, ", ") + whoseDoing(d.Signal, d.Suspect)
}

// howAnswered says who answered a prompt, and what is doubted or was seen of it.
func howAnswered(d *DrillAnsweredData) string {
	how, ok := answeredBy[d.By]
	if !ok {
		how = "done"
	}
	if d.Doubt != "" {
		how += ", but " + d.Doubt
	}
	if d.Tilt != nil {
		how += ", " + tiltSeen(d.Tilt)
	}
	return how
}

// PromptWords are what a prompt asked for, without what follows the first clause. An answer
// of an earlier build has but its ID.
func PromptWords(d *DrillAnsweredData) string {
	words := d.Text
	for _, end := range []string{"; ", ": "} {
		if first, _, _ := strings.Cut(words, end); strings.Contains(first, " ") {
			words = first
		}
	}
	if words == "" {
		return d.Prompt
	}
	return words
}

// outputsMoved says what the servo leads did: how far each went at most, and how far off
// it was in the last second. In a short time no pulse need have come.
func outputsMoved(moves []OutputMove, short bool) (parts []string) {
	for _, m := range moves {
		far := m.MostNS - m.FromNS
		if m.FromNS-m.LeastNS > far {
			far = m.LeastNS - m.FromNS
		}
		switch {
		case short && m.Pulses == 0 && m.EndMeanNS != 0:
		case m.Pulses == 0:
			parts = append(parts, fmt.Sprintf("output %d SILENT", m.Output))
		case m.FromNS == 0 || m.EndMeanNS == 0:
			parts = append(parts, fmt.Sprintf("output %d silent for a part of it", m.Output))
		case max(far, -far) >= answeredLeast:
			parts = append(parts, fmt.Sprintf("output %d by %s at most, %s at the end", m.Output, signedWidth(far), signedWidth(m.EndMeanNS-m.FromNS)))
		}
	}
	return parts
}

// signedWidth is a width with its sign: "+84 µs".
func signedWidth(width unit.Width) string {
	if width < 0 {
		return "-" + unit.FormatWidth(-width)
	}
	return "+" + unit.FormatWidth(width)
}

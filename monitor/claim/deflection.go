package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Why what outputs did is not the answer to a tilt.
const (
	transmitterNotHeard = "the receiver did not hear its transmitter meanwhile, so nobody knows what it was asked for"
	channelsHadLeapt    = "many channels of the bus had leapt at once, as presets do, so nobody knows what it was asked " +
		"for"
	noPulsesAllAlong = "no output that corrects this sent pulses all along: look at the leads"
	noRestBeforeTilt = "%s did not rest before the tilt: hold the model level and still until the third count; if " +
		"the output swings by itself, that comes first"
	wentToBothSides = "%s went to both sides: tilt the model once, to the side that is asked for, and hold it still " +
		"there"
	rightedInTilt       = "%s was at %s meanwhile, which overrides the mode: let it rest while the model is tilted"
	stickMovedMeanwhile = "%s moved on the bus meanwhile: leave every stick alone while the model is tilted"
)

const (
	// restNoise is how far a channel stirs while nobody touches its stick: noise of a
	// gimbal stays well within it, ns.
	restNoise = 8_000
	// faintAnswer is what an output may stray by itself, ns: twice what a good receiver
	// does with stabilisation off. Only below that nothing at all came of a tilt
	// which may have been a slow one.
	faintAnswer = 5_000
	// sureAnswer is an answer that no jitter makes, ns.
	sureAnswer = 30_000
	// kickLongest is how long a kick stands at half of its height or more: one of a
	// brisk tilt does for half of the time that the hand takes, which is half a second
	// or a little more. Who lets go after a second has held an answer that stays for
	// longer.
	kickLongest = 800 * unit.Millisecond
	// sidePart is what part of an answer makes a movement to the other side count that
	// came first: who raises the model slowly and then drops it has the larger kick on
	// the wrong side.
	sidePart = 16
)

// deflection is what one output did in a prompt.
type deflection struct {
	Output int           `json:"output"`
	Kick   unit.Width    `json:"peak_ns"` // to the side on which it went farther
	Back   unit.Width    `json:"back_ns"` // to the other, not negative
	Turned bool          `json:"turned"`  // the other came first
	Late   unit.Width    `json:"late_ns"` // in the last second
	Away   unit.Duration `json:"away_ns"` // how long it stood at half of the peak or more
	Sway   unit.Width    `json:"sway_ns"` // before the prompt
	Stir   unit.Width    `json:"stir_ns"` // likewise, in two seconds
}

// deflections are what a stick did to outputs that were heard all along, from where they
// stood at the prompt.
func deflections(d *event.DrillAnsweredData, outputs []*sheet.Output) (list []deflection) {
	for _, m := range heardAlong(d, outputs) {
		if m.FromNS == 0 {
			continue
		}
		s := deflection{Output: m.Output, Late: m.EndMeanNS - m.FromNS}
		s.reach(m.MostNS-m.FromNS, m.FromNS-m.LeastNS)
		list = append(list, s)
	}
	return list
}

// tiltDeflections are what a tilt did to outputs that were heard all along, from where
// they stood before any hand began.
func tiltDeflections(d *event.DrillAnsweredData, outputs []*sheet.Output) (list []deflection) {
	for _, m := range heardAlong(d, outputs) {
		if m.TiltRestNS == 0 {
			continue
		}
		s := deflection{Output: m.Output, Late: m.EndMeanNS - m.TiltRestNS, Away: m.TiltAwayNS, Sway: m.SwayNS, Stir: m.TiltSwayNS}
		s.reach(m.TiltMostNS-m.TiltRestNS, m.TiltRestNS-m.TiltLeastNS)
		s.Turned = (m.TiltLeastAtNS < m.TiltMostAtNS) == (s.Kick > 0)
		list = append(list, s)
	}
	return list
}

// heardAlong are the movements of outputs that were heard from a prompt to its answer.
func heardAlong(d *event.DrillAnsweredData, outputs []*sheet.Output) (list []*event.OutputMove) {
	for _, o := range outputs {
		i := slices.IndexFunc(d.Outputs, func(m event.OutputMove) bool { return m.Output == o.Number })
		if i >= 0 && d.Outputs[i].EndMeanNS != 0 && d.Outputs[i].LeastNS != 0 {
			list = append(list, &d.Outputs[i])
		}
	}
	return list
}

// reach takes how far an output went to either side.
func (s *deflection) reach(up, down unit.Width) {
	if s.Kick, s.Back = up, max(0, down); down > up {
		s.Kick, s.Back = -down, max(0, up)
	}
}

// both reports whether an output went to both sides, so that nobody knows which of them
// came of the tilt.
func (s *deflection) both() bool {
	if s.Turned && s.Back >= faintAnswer && sidePart*s.Back >= unit.Abs(s.Kick) {
		return true
	}
	return s.Back >= sensedLeast && 2*s.Back > unit.Abs(s.Kick)
}

// kick reports whether an answer may have been one: none stands for so long.
func (s *deflection) kick() bool { return s.Away <= kickLongest }

// deflectionOf finds the swing of an output.
func deflectionOf(list []deflection, output int) (deflection, bool) {
	i := slices.IndexFunc(list, func(s deflection) bool { return s.Output == output })
	if i < 0 {
		return deflection{}, false
	}
	return list[i], true
}

// correcting are the outputs that a stabiliser corrects anything with.
func correcting(s *sheet.Sheet) (list []*sheet.Output) {
	for i := range s.Outputs {
		if len(s.Outputs[i].Corrects) > 0 {
			list = append(list, &s.Outputs[i])
		}
	}
	return list
}

// noMore is for an answer that is too small.
const noMore = "if no more comes of it, its gain is low, or limit learning was not completed"

// mistrust says why what outputs did in a prompt is not the answer to a tilt, "" if
// it may be.
func mistrust(d *event.DrillAnsweredData, outputs []*sheet.Output, b *Book) string {
	switch {
	case d.Frames == 0 || d.Signal != event.SignalLive:
		return transmitterNotHeard
	case d.Suspect:
		return channelsHadLeapt
	case len(tiltDeflections(d, outputs)) == 0:
		return noPulsesAllAlong
	}
	if why := otherwiseSeen(d); why != "" {
		return why
	}
	if o := unsettledOutput(d, outputs); o != nil {
		return fmt.Sprintf(noRestBeforeTilt, output(o))
	}
	if o := wentBothWays(d, outputs); o != nil {
		return fmt.Sprintf(wentToBothSides, output(o))
	}
	if x := b.sheet.Righting(); x != nil && rightedMeanwhile(move(d, x.Channel), x, b) {
		return fmt.Sprintf(rightedInTilt, name(b, x.Channel), x.Position)
	}
	return stickMoved(d, outputs, b)
}

// rightedMeanwhile reports that the switch which overrides the mode was on, or went by where it is.
func rightedMeanwhile(m event.ChannelMove, x *sheet.Righting, b *Book) bool {
	tolerance := b.sheet.Tolerance.Position
	return m.LeastNS <= x.Width+tolerance && m.MostNS >= x.Width-tolerance
}

// stickMoved says that a stick which moves one of the outputs was moved, "" where none was.
func stickMoved(d *event.DrillAnsweredData, outputs []*sheet.Output, b *Book) string {
	for _, o := range outputs {
		for _, w := range o.MovedBy {
			if m := move(d, w.Channel); m.MostNS-m.LeastNS > restNoise {
				return fmt.Sprintf(stickMovedMeanwhile, name(b, w.Channel))
			}
		}
	}
	return ""
}

// unsettledOutput is an output of which nobody knows where it stood at a prompt, since it had
// gone to and fro by half of what it did afterwards. What came much too early leaves
// nothing for afterwards. nil: there is none.
func unsettledOutput(d *event.DrillAnsweredData, outputs []*sheet.Output) *sheet.Output {
	return find(d, outputs, func(s *deflection) bool {
		early := s.Stir >= sensedLeast && unit.Abs(s.Kick) < sensedLeast
		return early || s.Sway >= sensedLeast && 2*s.Sway >= unit.Abs(s.Kick)
	})
}

// wentBothWays is an output that went to both sides, nil: there is none.
func wentBothWays(d *event.DrillAnsweredData, outputs []*sheet.Output) *sheet.Output {
	return find(d, outputs, (*deflection).both)
}

func find(d *event.DrillAnsweredData, outputs []*sheet.Output, is func(*deflection) bool) *sheet.Output {
	for _, o := range outputs {
		if s, ok := deflectionOf(tiltDeflections(d, outputs), o.Number); ok && is(&s) {
			return o
		}
	}
	return nil
}

// whoTilted says who tilted the model, and how that is known.
func whoTilted(d *event.DrillAnsweredData) string {
	who := "tilted"
	if d.Who != "" {
		who = "tilted by " + d.Who
	}
	if seenByPhone(d) {
		held := d.Tilt.HeldNS()
		return fmt.Sprintf("seen by a phone on the model: %s, held for %s", event.Raised(&d.Tilt.Turn), unit.FormatDuration(held))
	}
	if d.By == "builder" {
		return who + ", confirmed by a tap"
	}
	return who + " on a spoken count"
}

// dead is a claim of which a tilt that was confirmed showed no answer. What cures that
// depends on whether others are answered.
type dead struct {
	ID      string           `json:"id"`
	Text    string           `json:"text"`
	Alone   string           `json:"alone"`  // what cures it if none is
	Beside  string           `json:"beside"` // what does if others are
	Span    event.Span       `json:"span"`
	Figures map[string]int64 `json:"figures"`
}

// pendingAnswers keeps what was answered in one run of a drill. That proves of no other tilt
// that there was one, but shows what is not at fault.
type pendingAnswers struct {
	Answered bool   `json:"answered"`
	Dead     []dead `json:"dead"`
}

// unanswered takes that a confirmed tilt was not answered.
func (w *pendingAnswers) unanswered(x dead, b *Book) {
	w.Dead = append(w.Dead, x)
	w.report(&x, b)
}

func (w *pendingAnswers) report(x *dead, b *Book) {
	cure := x.Alone
	if w.Answered {
		cure = x.Beside
	}
	b.wrong(x.ID, x.Text+": "+cure, x.Span, x.Figures)
}

// settlePending takes that a tilt was answered, and says anew what that changes.
func (w *pendingAnswers) settlePending(b *Book) {
	if w.Answered {
		return
	}
	w.Answered = true
	for i := range w.Dead {
		w.report(&w.Dead[i], b)
	}
}

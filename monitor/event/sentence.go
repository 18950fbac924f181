package event

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the screen says of frames that came late.
const (
	layWaiting    = "%s: %s lay waiting when listening began and came at once; they have no dates of their own"
	deliveredLate = "%s: %s DELIVERED LATE, after %s without any: the computer or its adapter stood still; what came in " +
		"that time has no dates of its own"
)

// Sentence is one sentence about an event, without its date.
func Sentence(e *Event) string {
	_, name, found := strings.Cut(e.About, ":")
	if !found {
		name = e.About
	}
	for _, tell := range []func(*Event, string) string{sessionEventSentence, drillSentence, modelSentence, controlsSentence, leadsSentence, tapSentence} {
		if s := tell(e, name); s != "" {
			return s
		}
	}
	return e.About + ": " + e.Kind
}

// sessionEventSentence describes the session; "" for what is not about it.
func sessionEventSentence(e *Event, _ string) string {
	switch d := e.Data.(type) {
	case SessionData:
		return sessionSentence(e.Kind, &d)
	case MarkData:
		return "mark: " + d.Text
	case ReopenData:
		return "to be seen anew: " + d.What
	case RecordingGapData:
		return gapSentence(&d)
	case ClockData:
		return fmt.Sprintf("the computer's clock was set by %s; times here go on as before", unit.FormatDuration(d.StepNS))
	case VerdictData:
		return strings.ToUpper(d.Verdict) + ": " + d.Sentence
	}
	if e.Kind == SessionEnded {
		return "session ended"
	}
	return ""
}

// modelSentence describes the model's controls and its receiver.
func modelSentence(e *Event, name string) string {
	switch d := e.Data.(type) {
	case SwitchData:
		return switchSentence(name, &d)
	case ModeData:
		return modeSentence(&d)
	case JumpData:
		return fmt.Sprintf("%s: channels %s leapt at once and stand still, as presets do; what they reached proves nothing yet", d.Tap, numberList(d.Channels))
	case FailsafeData:
		return failsafeSentence(e, name, &d)
	case LinkData:
		return linkSentence(e.Kind, name, &d)
	case LossData:
		return lossSentence(name, &d)
	case PowerUpData:
		return powerUpSentence(name, &d)
	case FailsafeSettledData:
		return settledSentence(&d)
	}
	return ""
}

func sessionSentence(kind string, d *SessionData) string {
	names := make([]string, 0, len(d.Taps))
	for _, t := range d.Taps {
		names = append(names, t.Name)
	}
	verb := "began"
	if kind == SessionResumed {
		verb = "goes on"
	}
	return fmt.Sprintf("session %s: %s, listening at %s", verb, d.Model, text.And(names))
}

func gapSentence(d *RecordingGapData) string {
	if !d.Ended {
		return "RECORDING STOPPED, watching goes on: " + d.Why
	}
	return fmt.Sprintf("recording goes on: %s; %d inputs are not in it", d.Why, d.Inputs)
}

// tapSentence describes a tap and its line.
func tapSentence(e *Event, name string) string {
	switch d := e.Data.(type) {
	case PortData:
		return fmt.Sprintf("%s: listening on %s (%s)", name, d.Port, portState(&d))
	case ReasonData:
		return reasonSentence(e, name, d.Why)
	case CountData:
		return fmt.Sprintf("%s: the port lost %d characters", name, d.Count)
	case LockedData:
		return lockedSentence(name, &d)
	case SilentData:
		return fmt.Sprintf("%s: SILENT, nothing for %s", name, unit.FormatDuration(d.LimitNS))
	case LateData:
		return lateSentence(name, &d)
	case PeriodData:
		if d.WasNS == 0 {
			return fmt.Sprintf("%s: a frame every %s", name, unit.FormatDuration(d.PeriodNS))
		}
		return fmt.Sprintf("%s: a frame every %s now, every %s before", name, unit.FormatDuration(d.PeriodNS), unit.FormatDuration(d.WasNS))
	case FramesMissingData:
		return framesMissingSentence(e.Kind, name, &d)
	case DamageData:
		return damageSentence(name, &d)
	case ExposureData:
		return watchedSentence(name, &d)
	}
	return ""
}

func lateSentence(name string, d *LateData) string {
	if d.Opened {
		return fmt.Sprintf(layWaiting, name, frames(d.Frames))
	}
	return fmt.Sprintf(deliveredLate, name, frames(d.Frames), unit.FormatDuration(d.SilentNS))
}

func lockedSentence(name string, d *LockedData) string {
	if d.SilentNS > 0 {
		return fmt.Sprintf("%s: frames again, after %s", name, unit.FormatDuration(d.SilentNS))
	}
	return name + ": frames are coming in"
}

func portState(d *PortData) string {
	parts := []string{d.Settings}
	if d.Latency != "" && d.Latency != "unknown" {
		parts = append(parts, "latency "+d.Latency)
	}
	if d.Errors != "" {
		parts = append(parts, d.Errors)
	}
	return strings.Join(parts, ", ")
}

func framesMissingSentence(kind, name string, d *FramesMissingData) string {
	if kind == AirMissed {
		text := fmt.Sprintf("%s: the receiver missed the transmitter, %s flagged in %s", name, frames(d.Frames), unit.FormatDuration(d.SpanNS))
		switch {
		case d.Loss:
			return text + ", and lost it or fell silent"
		case d.Runs > 0:
			return text + fmt.Sprintf(", %s, the longest %s", runs(d.Runs), unit.FormatDuration(d.LongestNS))
		}
		return text
	}
	return fmt.Sprintf("%s: %s never came, the bus left a gap of %s", name, frames(d.Frames), unit.FormatDuration(d.SpanNS))
}

func damageSentence(name string, d *DamageData) string {
	parts := []string{}
	if d.BadFrames > 0 {
		parts = append(parts, frames(d.BadFrames)+" with a bad character")
	}
	reasons := make([]string, 0, len(d.Refused))
	for r := range d.Refused {
		reasons = append(reasons, r)
	}
	slices.Sort(reasons)
	for _, r := range reasons {
		parts = append(parts, fmt.Sprintf("%d bytes refused (%s)", d.Refused[r], r))
	}
	return fmt.Sprintf("%s: damage on the wire within %s: %s", name, unit.FormatDuration(d.SpanNS), strings.Join(parts, ", "))
}

func switchSentence(name string, d *SwitchData) string {
	s := fmt.Sprintf("%s stands at %s, %s", name, d.To, unit.FormatWidth(d.WidthNS))
	if d.Was != "" && d.Was != d.To {
		s = fmt.Sprintf("%s moved from %s to %s, %s", name, d.Was, d.To, unit.FormatWidth(d.WidthNS))
	}
	if !d.Within {
		s += fmt.Sprintf(", %s away from where the sheet puts it", unit.FormatWidth(max(d.OffNS, -d.OffNS)))
	}
	return s + whoseDoing(d.Signal, d.Suspect)
}

func modeSentence(d *ModeData) string {
	mode := text.ModeName(d.Mode)
	if d.Passing {
		return fmt.Sprintf("passed through %s for %s%s", mode, unit.FormatDuration(max(d.DwellNS, unit.Millisecond)), whoseDoing(d.Signal, d.Suspect))
	}
	return fmt.Sprintf("the bus asks for %s%s", mode, whoseDoing(d.Signal, d.Suspect))
}

func whoseDoing(s Signal, suspect bool) string {
	switch {
	case s == SignalFailsafe:
		return " (the receiver's doing: failsafe)"
	case suspect:
		return " (many channels leapt at once: perhaps a preset)"
	case s == SignalMissed:
		return " (the receiver misses the transmitter)"
	}
	return ""
}

func frames(n int64) string {
	if n == 1 {
		return "1 frame"
	}
	return fmt.Sprintf("%d frames", n)
}

func runs(n int64) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}

// watchedSentence reports how much of what was heard could have shown a fault.
func watchedSentence(name string, d *ExposureData) string {
	text := fmt.Sprintf("%s: heard live for %s, with %s of known movement (%d spells)", name, unit.FormatDuration(d.LiveNS), unit.FormatDuration(d.MovingNS), d.Spells)
	if d.BeatingNS > 0 {
		text += fmt.Sprintf(", the heartbeat beat for %s", unit.FormatDuration(d.BeatingNS))
	}
	return text + fmt.Sprintf("; missed %d of %s of a live link", d.LinkMissed, frames(d.LinkFrames))
}

func numberList(n []int) string {
	s := make([]string, 0, len(n))
	for _, v := range n {
		s = append(s, fmt.Sprint(v))
	}
	return strings.Join(s, ", ")
}

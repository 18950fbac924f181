// Package say puts events into plain sentences for people at the bench. It
// judges nothing.
package say

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/fact"
)

// Event is one sentence about an event, without its date.
func Event(e *fact.Event) string {
	_, name, found := strings.Cut(e.About, ":")
	if !found {
		name = e.About
	}
	for _, tell := range []func(*fact.Event, string) string{sitting, drill, model, finding, leads, tap} {
		if s := tell(e, name); s != "" {
			return s
		}
	}
	return e.About + ": " + e.Kind
}

// sitting tells of the session; "" for what is not about it.
func sitting(e *fact.Event, _ string) string {
	switch d := e.Data.(type) {
	case fact.SessionData:
		return session(e.Kind, &d)
	case fact.MarkData:
		return "mark: " + d.Text
	case fact.ReopenData:
		return "to be seen anew: " + d.What
	case fact.GapData:
		return gap(&d)
	case fact.ClockData:
		return fmt.Sprintf("the computer's clock was set by %s; times here go on as before", Span(fact.Time(d.StepNS)))
	case fact.VerdictData:
		return strings.ToUpper(d.Verdict) + ": " + d.Sentence
	}
	if e.Kind == fact.SessionEnded {
		return "session ended"
	}
	return ""
}

// model tells of the model's controls and its receiver.
func model(e *fact.Event, name string) string {
	switch d := e.Data.(type) {
	case fact.SwitchData:
		return moved(name, &d)
	case fact.ModeData:
		return asked(&d)
	case fact.JumpData:
		return fmt.Sprintf("%s: channels %s leapt at once and stand still, as presets do; what they reached proves nothing yet", d.Tap, list(d.Channels))
	case fact.FailsafeData:
		return failsafe(e, name, &d)
	case fact.LinkData:
		return link(e.Kind, name, &d)
	case fact.LossData:
		return loss(name, &d)
	case fact.PowerUpData:
		return powerUp(name, &d)
	case fact.SettledData:
		return settled(&d)
	}
	return ""
}

func session(kind string, d *fact.SessionData) string {
	names := make([]string, 0, len(d.Taps))
	for _, t := range d.Taps {
		names = append(names, t.Name)
	}
	verb := "began"
	if kind == fact.SessionResumed {
		verb = "goes on"
	}
	return fmt.Sprintf("session %s: %s, listening at %s", verb, d.Model, And(names))
}

func gap(d *fact.GapData) string {
	if !d.Ended {
		return "RECORDING STOPPED, watching goes on: " + d.Why
	}
	return fmt.Sprintf("recording goes on: %s; %d inputs are not in it", d.Why, d.Inputs)
}

// tap tells of a tap and its line.
func tap(e *fact.Event, name string) string {
	switch d := e.Data.(type) {
	case fact.PortData:
		return fmt.Sprintf("%s: listening on %s (%s)", name, d.Port, portState(&d))
	case fact.ReasonData:
		return reason(e, name, d.Why)
	case fact.CountData:
		return fmt.Sprintf("%s: the port lost %d characters", name, d.Count)
	case fact.LockedData:
		return locked(name, &d)
	case fact.SilentData:
		return fmt.Sprintf("%s: SILENT, nothing for %s", name, Span(d.LimitNS))
	case fact.LateData:
		return late(name, &d)
	case fact.PeriodData:
		if d.WasNS == 0 {
			return fmt.Sprintf("%s: a frame every %s", name, Span(d.PeriodNS))
		}
		return fmt.Sprintf("%s: a frame every %s now, every %s before", name, Span(d.PeriodNS), Span(d.WasNS))
	case fact.RunData:
		return run(e.Kind, name, &d)
	case fact.DamageData:
		return damage(name, &d)
	case fact.WatchedData:
		return watched(name, &d)
	}
	return ""
}

func late(name string, d *fact.LateData) string {
	if d.Opened {
		return fmt.Sprintf("%s: %s lay waiting when listening began and came at once; they have no dates of their own", name, frames(d.Frames))
	}
	return fmt.Sprintf("%s: %s DELIVERED LATE, after %s without any: the computer or its adapter stood still; what came in that time has no dates of its own",
		name, frames(d.Frames), Span(d.SilentNS))
}

func locked(name string, d *fact.LockedData) string {
	if d.SilentNS > 0 {
		return fmt.Sprintf("%s: frames again, after %s", name, Span(d.SilentNS))
	}
	return name + ": frames are coming in"
}

func portState(d *fact.PortData) string {
	parts := []string{d.Settings}
	if d.Latency != "" && d.Latency != "unknown" {
		parts = append(parts, "latency "+d.Latency)
	}
	if d.Errors != "" {
		parts = append(parts, d.Errors)
	}
	return strings.Join(parts, ", ")
}

func run(kind, name string, d *fact.RunData) string {
	if kind == fact.AirMissed {
		text := fmt.Sprintf("%s: the receiver missed the transmitter, %s flagged in %s", name, frames(d.Frames), Span(d.SpanNS))
		switch {
		case d.Loss:
			return text + ", and lost it or fell silent"
		case d.Runs > 0:
			return text + fmt.Sprintf(", %s, the longest %s", runs(d.Runs), Span(d.LongestNS))
		}
		return text
	}
	return fmt.Sprintf("%s: %s never came, the bus left a gap of %s", name, frames(d.Frames), Span(d.SpanNS))
}

func damage(name string, d *fact.DamageData) string {
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
	return fmt.Sprintf("%s: damage on the wire within %s: %s", name, Span(d.SpanNS), strings.Join(parts, ", "))
}

func moved(name string, d *fact.SwitchData) string {
	s := fmt.Sprintf("%s stands at %s, %s", name, d.To, Width(d.WidthNS))
	if d.Was != "" && d.Was != d.To {
		s = fmt.Sprintf("%s moved from %s to %s, %s", name, d.Was, d.To, Width(d.WidthNS))
	}
	if !d.Within {
		s += fmt.Sprintf(", %s away from where the sheet puts it", Width(max(d.OffNS, -d.OffNS)))
	}
	return s + by(d.Signal, d.Suspect)
}

func asked(d *fact.ModeData) string {
	mode := Mode(d.Mode)
	if d.Passing {
		return fmt.Sprintf("passed through %s for %s%s", mode, Span(max(d.DwellNS, fact.Millisecond)), by(d.Signal, d.Suspect))
	}
	return fmt.Sprintf("the bus asks for %s%s", mode, by(d.Signal, d.Suspect))
}

// Mode names a mode as people read it.
func Mode(name string) string {
	if name == "" {
		return "NO MODE (no window of the sheet)"
	}
	return strings.ToUpper(name)
}

func by(s fact.Signal, suspect bool) string {
	switch {
	case s == fact.Failsafe:
		return " (the receiver's doing: failsafe)"
	case suspect:
		return " (many channels leapt at once: perhaps a preset)"
	case s == fact.Missed:
		return " (the receiver misses the transmitter)"
	}
	return ""
}

func failsafe(e *fact.Event, name string, d *fact.FailsafeData) string {
	switch {
	case e.Kind == fact.FailsafeEntered:
		return entered(name, d)
	case d.BeforeLink && !d.AfterSilence:
		return name + ": LINKED, the first live frame"
	case d.LiveNS < 0:
		return fmt.Sprintf("%s: failsafe flag gone after %s, but no live frame yet", name, Span(d.AfterNS))
	}
	return fmt.Sprintf("%s: LINK RESTORED, failsafe stood for %s", name, Span(d.AfterNS))
}

func entered(name string, d *fact.FailsafeData) string {
	switch {
	case d.AfterSilence:
		return name + ": failsafe flag set behind a silence, where the receiver may have begun anew: neither proof nor fault"
	case d.BeforeLink:
		return name + ": failsafe flag set before any link: neither proof nor fault"
	case d.Again:
		return name + ": failsafe flag again, with no live frame between"
	case d.AfterNS < 0:
		return name + ": LINK LOST, failsafe flag; no frame was flagged as lost before, so the last live one is not known"
	}
	return fmt.Sprintf("%s: LINK LOST, last live frame at %s, failsafe flag %s later", name, Clock(d.LiveNS), Span(d.AfterNS))
}

// link says what the flags say of the link where no failsafe flag says it.
func link(kind, name string, d *fact.LinkData) string {
	if kind == fact.LinkLost {
		return fmt.Sprintf("%s: NO LIVE FRAME SINCE %s, the receiver flags each as lost", name, Clock(d.LiveNS))
	}
	return fmt.Sprintf("%s: LIVE AGAIN, after %s without a live frame", name, Span(d.LostNS))
}

// settled says where the values went in a failsafe.
func settled(d *fact.SettledData) string {
	var went []string
	for i := range d.Now {
		if i < len(d.Was) && d.Now[i] != d.Was[i] {
			went = append(went, fmt.Sprintf("channel %d to %s", i+1, Width(d.Now[i])))
		}
	}
	if len(went) == 0 {
		return d.Tap + ": in failsafe all channels stay where they stood"
	}
	return fmt.Sprintf("%s: in failsafe %s; the others stay", d.Tap, strings.Join(went, ", "))
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

// watched tells how much of what was heard could have shown a fault.
func watched(name string, d *fact.WatchedData) string {
	text := fmt.Sprintf("%s: heard live for %s, with %s of known movement (%d spells)", name, Span(d.LiveNS), Span(d.MovingNS), d.Spells)
	if d.BeatingNS > 0 {
		text += fmt.Sprintf(", the heartbeat beat for %s", Span(d.BeatingNS))
	}
	return text + fmt.Sprintf("; missed %d of %s of a live link", d.LinkMissed, frames(d.LinkFrames))
}

func list(n []int) string {
	s := make([]string, 0, len(n))
	for _, v := range n {
		s = append(s, fmt.Sprint(v))
	}
	return strings.Join(s, ", ")
}

// Width is a pulse width in µs, with a decimal where there is one.
func Width(ns int64) string {
	if ns%1000 == 0 {
		return fmt.Sprintf("%d µs", ns/1000)
	}
	return fmt.Sprintf("%.1f µs", float64(ns)/1000)
}

// Span is a length of time, short.
func Span(t fact.Time) string {
	switch a := max(t, -t); {
	case a < 100*fact.Millisecond:
		return fmt.Sprintf("%.1f ms", float64(t)/1e6)
	case a < 60*fact.Second:
		return fmt.Sprintf("%.2f s", float64(t)/1e9)
	default:
		return Clock(t)
	}
}

// Clock is bench time as minutes, seconds and milliseconds, with hours in front
// from one hour on.
func Clock(t fact.Time) string {
	ms := int64(t / fact.Millisecond)
	s := fmt.Sprintf("%d:%02d.%03d", ms/60_000%60, ms/1000%60, ms%1000)
	if h := ms / 3_600_000; h > 0 {
		s = fmt.Sprintf("%d:%02d:%02d.%03d", h, ms/60_000%60, ms/1000%60, ms%1000)
	}
	return s
}

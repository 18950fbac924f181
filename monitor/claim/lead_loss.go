package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of an output without a signal.
const (
	outputStood      = "without a signal %s stood at %s; it stood at %s before"
	outputFellSilent = "without a signal %s fell silent %s after the last live frame; it stood at %s before"
	cutTooLate       = "it came to its cut, but late: it was at %s to %s before, and the motor could run until then; " +
		"shorten the time that the receiver holds, and take whatever slows the throttle down off the channel"
)

// middle is where outputs that run the other way are mirrored, ns: neutral (common
// practice).
const middle = 1_500_000

// leadLoss judges what an output does when the signal is lost.
type leadLoss struct {
	output *sheet.Output
	preset sheet.Preset
}

func newLeadLoss(b *Book, o *sheet.Output) *leadLoss {
	l := &leadLoss{output: o}
	p, ok := b.sheet.Failsafe.Leads.Of(o.Number)
	if !ok {
		p = sheet.Preset{Rule: sheet.Follows}
	}
	l.preset = p
	b.add(FamilyFailsafe.ofOutput(o), fmt.Sprintf("without a signal %s %s", output(o), wantedLead(p)),
		losing(DoLoseAway), append(topicsOf(b, o), TopicFailsafe)...)
	return l
}

func wantedLead(p sheet.Preset) string {
	switch p.Rule {
	case sheet.Follows:
		return "goes on, following the stabiliser"
	case sheet.Stops:
		return "stands at its channel's cut, or falls silent"
	case sheet.Silent:
		return "falls silent"
	}
	return wantedPreset(p)
}

func (l *leadLoss) see(e *event.Event, b *Book) {
	d, ok := e.Data.(event.LossOutputsData)
	if !ok {
		return
	}
	for i := range d.Outputs {
		if d.Outputs[i].Output == l.output.Number {
			l.lost(&d.Outputs[i], event.Span{From: e.From, To: e.At}, b)
		}
	}
}

func (l *leadLoss) lost(d *event.LossOutput, span event.Span, b *Book) {
	id, tolerance := FamilyFailsafe.ID(about(l.output)), b.sheet.Tolerance.Preset
	figures := map[string]int64{"was_ns": int64(d.WasNS), "now_ns": int64(d.NowNS), "silent_ns": int64(d.SilentNS)}
	what := fmt.Sprintf(outputStood, output(l.output), unit.FormatWidth(d.NowNS), unit.FormatWidth(d.WasNS))
	if d.SilentNS >= 0 {
		what = fmt.Sprintf(outputFellSilent, output(l.output), unit.FormatDuration(d.SilentNS), unit.FormatWidth(d.WasNS))
	}
	met, still := l.met(d, tolerance, b.sheet)
	switch {
	case !met:
		b.wrong(id, fmt.Sprintf("%s; the sheet wants that it %s: %s",
			what, wantedLead(l.preset), l.remedy(d, tolerance, b.sheet)), span, figures)
	case still && d.SilentNS < 0 && unit.Abs(d.NowNS-d.WasNS) <= tolerance:
		b.unclear(id, fmt.Sprintf(stoodAndStayed, output(l.output), unit.FormatWidth(d.WasNS), text.PresetOrHold))
	default:
		b.right(id, what, span, figures)
	}
}

// met reports whether an output did what the sheet wants. still: it proves nothing
// where the output stood there before.
func (l *leadLoss) met(d *event.LossOutput, tolerance unit.Width, s *sheet.Sheet) (met, still bool) {
	silent := d.SilentNS >= 0
	switch l.preset.Rule {
	case sheet.Follows:
		return !silent, false
	case sheet.Silent:
		return silent, false
	case sheet.Stops:
		return silent || l.cut(d, tolerance, s), true
	case sheet.Hold:
		return !silent && max(unit.Abs(d.LeastNS-d.WasNS), unit.Abs(d.MostNS-d.WasNS)) <= tolerance, false
	}
	return !silent && l.preset.Met(d.WasNS, d.LeastNS, tolerance) && l.preset.Met(d.WasNS, d.MostNS, tolerance), true
}

// cut reports whether a motor's output stands where its channel's cut puts it, or
// beyond.
func (l *leadLoss) cut(d *event.LossOutput, tolerance unit.Width, s *sheet.Sheet) bool {
	for _, w := range l.output.MovedBy {
		c, ok := s.Channel(w.Channel)
		if !ok || c.Kind != sheet.Throttle {
			continue
		}
		low, has := c.Place("cut")
		if !has {
			low, has = c.Place("idle")
		}
		if !has {
			return false
		}
		if w.Weight < 0 {
			return d.LeastNS >= 2*middle-low.Width-tolerance
		}
		return d.MostNS <= low.Width+tolerance
	}
	return false
}

// remedy says what is to be set, and what a motor that goes on means. One that came
// to its cut has the right preset, and came there too late.
func (l *leadLoss) remedy(d *event.LossOutput, tolerance unit.Width, s *sheet.Sheet) string {
	const anew = "set the failsafe of the receiver anew"
	if l.preset.Rule != sheet.Stops || d.SilentNS >= 0 {
		return anew
	}
	now := *d
	now.LeastNS, now.MostNS = d.NowNS, d.NowNS
	if l.cut(&now, tolerance, s) {
		return fmt.Sprintf(cutTooLate,
			unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
	}
	return anew + ": a motor could run with nobody to stop it"
}

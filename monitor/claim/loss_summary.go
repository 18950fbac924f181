package claim

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of a loss as a whole.
const (
	busFellSilent = "With the signal gone, the receiver's bus fell silent. What it does with its outputs then is not on " +
		"this wire."
	busCarriesOutputs = "With the signal gone, %s went on moving: this bus seems to carry what the stabiliser makes of " +
		"the channels, and in a self-levelling failsafe that is right. Presets of what moves are not to be seen here."
	receiverUnknown = "The signal was lost, and what the receiver does then could not be told."
	onTheWordAlone  = "The builder said that the transmitter was off; the wire showed no loss: no flag came, frames went " +
		"on, and each value stayed where it stood."
	noneAfterAll     = "What looked like a loss of the signal was none."
	wordAgainstWire  = "The builder said that the transmitter was off; the wire showed no loss."
	controlBackAfter = "control back %s after the transmitter was said to be on"
)

// LossSummary is what a builder may know of a loss of the signal, as one paragraph: what
// the receiver did, by which evidence and when, and what is to be done. It is never
// more certain than the evidence.
func LossSummary(s *sheet.Sheet, d *event.LossData) string {
	parts := []string{headline(s, d)}
	if d.Shown() {
		parts = append(parts, figures(d))
	}
	findings := Findings(s, d)
	for _, f := range findings {
		parts = append(parts, upper(f.Text)+".")
	}
	if s.Failsafe == nil {
		return strings.Join(append(parts, "The sheet says nothing about failsafe, so nothing was judged."), " ")
	}
	if len(findings) == 0 && d.Class != event.LossUnclear {
		parts = append(parts, "All that was seen of it is as the sheet wants.")
	}
	return strings.Join(parts, " ")
}

func headline(s *sheet.Sheet, d *event.LossData) string {
	if !d.Shown() {
		return notShown(d)
	}
	who := whose(d)
	switch d.Class {
	case event.LossPreset:
		return who + " went to other values and stayed there, as with presets."
	case event.LossHold:
		return who + " held its last values."
	case event.LossSilent:
		return busFellSilent
	case event.LossMixed:
		return fmt.Sprintf("%s moved %s to presets and held %s.", who, named(s, d, event.LossPreset), named(s, d, event.LossHold))
	case event.LossMoving:
		moving := named(s, d, event.LossMoving)
		if moving == "" { // the heartbeat alone
			moving = "values"
		}
		return fmt.Sprintf(busCarriesOutputs, moving)
	case event.LossUnderWay:
		return who + " was on its way to other values when this ended."
	}
	return receiverUnknown
}

// whose doing it is: the receiver's, or, where nothing but the values says so, the bus's.
func whose(d *event.LossData) string {
	switch {
	case d.Flag == event.FlagClassNever && d.DatedBy == "builder":
		return "After the transmitter was said to be off, the bus"
	case d.Flag == event.FlagClassNever && d.Drill != "":
		return "After the transmitter was switched off, the bus"
	case d.Flag == event.FlagClassNever:
		return "With the signal gone, as the values suggest and no flag says, the bus"
	}
	return "With the signal gone, the receiver"
}

// notShown says what no wire showed.
func notShown(d *event.LossData) string {
	switch {
	case d.Class != event.LossNone:
		return onTheWordAlone
	case d.DatedBy != "builder":
		return noneAfterAll
	}
	return wordAgainstWire
}

// named lists the sheet's channels of a class.
func named(s *sheet.Sheet, d *event.LossData, class event.LossClass) string {
	var names []string
	for i := range s.Channels {
		if c := &s.Channels[i]; c.Number <= len(d.Channels) && d.Channels[c.Number-1].Class == class {
			names = append(names, c.Name)
		}
	}
	return strings.Join(names, ", ")
}

// figures are the times of a loss and what they rest on.
func figures(d *event.LossData) string {
	if !dated(d) {
		return "No frame could be found that was certainly the last live one."
	}
	by := map[string]string{
		"flags":     "by the receiver's flags",
		"heartbeat": "by the heartbeat, which broke off",
		"stirred":   "by the stick that was being moved and froze",
	}[d.DatedBy]
	parts := []string{fmt.Sprintf("Last live frame at %s, known %s", unit.FormatClock(d.LiveNS), by)}
	since := func(what string, t unit.Duration) {
		if t >= 0 {
			parts = append(parts, what+" "+unit.FormatDuration(t)+" later")
		}
	}
	since("first frame flagged as lost", d.LostNS)
	since("failsafe flag", d.FailsafeNS)
	if d.FailsafeNS < 0 && d.LostNS < 0 {
		parts = append(parts, "no flag was ever set")
	}
	since("the last frame at all", d.SilentNS)
	if d.Class == event.LossPreset || d.Class == event.LossMixed {
		since("all values at rest", d.SettledNS)
	}
	if d.ModeNS >= 0 {
		parts = append(parts, "the bus then asks for "+text.ModeName(d.Mode))
	}
	if d.OnNS >= 0 && d.BackNS >= 0 {
		parts = append(parts, fmt.Sprintf(controlBackAfter, unit.FormatDuration(max(0, d.BackNS-d.OnNS))))
	}
	return strings.Join(parts, "; ") + "."
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

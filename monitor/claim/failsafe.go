package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// failsafe judges what a flagged loss of the signal brought, as far as its flags
// date it.
type failsafe struct {
	// Stayed is where channels that are to hold stood in a loss and rest by
	// themselves: a preset may be just there. Two losses at two places show a hold.
	Stayed map[string]int64 `json:"stayed"`
}

func newFailsafe(b *Book) *failsafe {
	f := b.sheet.Failsafe
	if f.Flag != "absent" {
		b.add("failsafe/flag", "the receiver flags a failsafe when the signal is lost", settleLoss, fact.FailsafeDrill, FailsafeOf)
		b.add("failsafe/time", fmt.Sprintf("the failsafe flag comes within %s of the last live frame", say.Span(fact.Time(f.Within))), settleLoss, fact.FailsafeDrill, FailsafeOf)
	}
	for i := range b.sheet.Channels {
		c := &b.sheet.Channels[i]
		if p, ok := f.Heard.Of(c.Number); ok && c.Number <= 16 {
			b.add("failsafe/"+c.Name, fmt.Sprintf("without a signal %s %s", c.Name, wantedPreset(p)), "move everything away from its preset, then switch the transmitter off", fact.FailsafeDrill, FailsafeOf, c.Name)
		}
	}
	if mode, ok := wantedMode(b.sheet); ok {
		b.add("failsafe/mode", "without a signal the bus asks for "+say.Mode(mode.name), settleLoss, fact.FailsafeDrill, FailsafeOf)
	}
	b.add("failsafe/back", fmt.Sprintf("control is back within %s of the transmitter being switched on again", say.Span(backWithin)), settleLoss, fact.FailsafeDrill, FailsafeOf)
	return &failsafe{Stayed: map[string]int64{}}
}

// chance reports that a channel which stayed may have stood at its preset by chance.
func (f *failsafe) chance(c *sheet.Channel, p sheet.Preset, width, tolerance int64) bool {
	if p.Rule != sheet.Hold {
		return true
	}
	if !c.RestsNear(width, sheet.Visibly) {
		return false
	}
	before, seen := f.Stayed[c.Name]
	f.Stayed[c.Name] = width
	return !seen || abs(before-width) <= tolerance
}

func stayed(c *sheet.Channel, width int64) string {
	return fmt.Sprintf("%s stood at %s when the signal went and stayed: that may be its preset or a hold; put it elsewhere before the next loss", c.Name, say.Width(width))
}

// forget is for what was changed since.
func (f *failsafe) forget(what string, _ fact.Time) {
	if what == Everything || what == FailsafeOf {
		clear(f.Stayed)
	}
	delete(f.Stayed, what)
}

const settleLoss = "switch the transmitter off, and on again"

func wantedPreset(p sheet.Preset) string {
	switch p.Rule {
	case sheet.Hold:
		return "holds"
	case sheet.AtMost:
		return "stands at " + say.Width(p.Width) + " or less"
	case sheet.AtLeast:
		return "stands at " + say.Width(p.Width) + " or more"
	case sheet.AtPlace:
		return "stands at " + p.Place + ", " + say.Width(p.Width)
	}
	return "stands at " + say.Width(p.Width)
}

func (f *failsafe) see(e *fact.Event, b *Book) {
	span := fact.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case fact.FailsafeData:
		if e.Kind == fact.FailsafeEntered && !d.BeforeLink {
			f.entered(&d, span, b)
		}
	case fact.LossData:
		f.lost(&d, span, b)
	case fact.SettledData:
		for i := range d.Now {
			if c, ok := b.sheet.Channel(i + 1); ok {
				f.settled(c, d.Was[i], d.Now[i], span, b)
			}
		}
	}
}

func (f *failsafe) entered(d *fact.FailsafeData, span fact.Span, b *Book) {
	figures := map[string]int64{"after_ns": int64(d.AfterNS)}
	b.right("failsafe/flag", fmt.Sprintf("the receiver flagged a failsafe %s after the last live frame", say.Span(d.AfterNS)), span, figures)
	within := fact.Time(b.sheet.Failsafe.Within)
	if d.AfterNS <= within {
		b.right("failsafe/time", fmt.Sprintf("the failsafe flag came %s after the last live frame", say.Span(d.AfterNS)), span, figures)
		return
	}
	b.wrong("failsafe/time", fmt.Sprintf("the failsafe flag came only %s after the last live frame, the sheet wants %s: shorten the delay in the receiver, if it has one, or the sheet is wrong",
		say.Span(d.AfterNS), say.Span(within)), span, figures)
}

// settled judges one channel. Preset and hold can't be told apart on a channel
// that stood at its preset when the signal went.
func (f *failsafe) settled(c *sheet.Channel, was, now int64, span fact.Span, b *Book) {
	p, ok := b.sheet.Failsafe.Heard.Of(c.Number)
	if !ok {
		return
	}
	id, tolerance := "failsafe/"+c.Name, b.sheet.Tolerance.Preset
	figures := map[string]int64{"was_ns": was, "now_ns": now}
	if abs(now-was) <= tolerance && p.Met(was, now, tolerance) && f.chance(c, p, now, tolerance) {
		b.unclear(id, stayed(c, was))
		return
	}
	if p.Met(was, now, tolerance) {
		b.right(id, fmt.Sprintf("without a signal %s stood at %s, as the sheet wants; it stood at %s before", c.Name, say.Width(now), say.Width(was)), span, figures)
		return
	}
	b.wrong(id, fmt.Sprintf("without a signal %s stood at %s; the sheet wants that it %s: set the failsafe of channel %d anew, in the receiver or where the transmitter keeps it",
		c.Name, say.Width(now), wantedPreset(p), c.Number), span, figures)
}

package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// failsafe judges what a flagged loss of the signal brought, as far as its flags
// date it.
type failsafe struct{}

func newFailsafe(b *Book) *failsafe {
	f := b.sheet.Failsafe
	if f.Flag != "absent" {
		b.add("failsafe/flag", "the receiver flags a failsafe when the signal is lost", "switch the transmitter off", "", FailsafeOf)
		b.add("failsafe/time", fmt.Sprintf("the failsafe flag comes within %s of the last live frame", say.Span(fact.Time(f.Within))), "switch the transmitter off", "", FailsafeOf)
	}
	for i := range b.sheet.Channels {
		c := &b.sheet.Channels[i]
		if p, ok := f.Heard.Of(c.Number); ok && c.Number <= 16 {
			b.add("failsafe/"+c.Name, fmt.Sprintf("without a signal %s %s", c.Name, wantedPreset(p)), "move everything away from its preset, then switch the transmitter off", "", FailsafeOf, c.Name)
		}
	}
	return &failsafe{}
}

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
	if p.Rule != sheet.Hold && f.holds(p, was, now, tolerance) && abs(now-was) <= tolerance {
		b.unclear(id, fmt.Sprintf("%s stood at %s when the signal went and stayed: that may be its preset or a hold; move it away from its preset before the next loss", c.Name, say.Width(was)))
		return
	}
	if f.holds(p, was, now, tolerance) {
		b.right(id, fmt.Sprintf("without a signal %s stood at %s, as the sheet wants; it stood at %s before", c.Name, say.Width(now), say.Width(was)), span, figures)
		return
	}
	b.wrong(id, fmt.Sprintf("without a signal %s stood at %s; the sheet wants that it %s: set the failsafe of channel %d anew, in the receiver or where the transmitter keeps it",
		c.Name, say.Width(now), wantedPreset(p), c.Number), span, figures)
}

func (f *failsafe) holds(p sheet.Preset, was, now, tolerance int64) bool {
	switch p.Rule {
	case sheet.Hold:
		return abs(now-was) <= tolerance
	case sheet.AtMost:
		return now <= p.Width+tolerance
	case sheet.AtLeast:
		return now >= p.Width-tolerance
	}
	return abs(now-p.Width) <= tolerance
}

package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of an output's pulses.
const (
	sendsPulses   = "%s sends pulses that a servo takes, without a pause"
	doesNotSwing  = "%s does not swing by itself (a quiet bench can't show that it never will)"
	standsStill   = "%s stands still within %s with stabilisation off"
	noServoPulses = "%s sent %d pulses of %s to %s, which no servo is sent: a fault, or something else on the wire"
	linesLost     = "%s was not heard, but %d lines of the board were lost in %s, and its pulses may have been in " +
		"those: see to the board, its cable and its rate first"
	sentNothing = "%s sent nothing while others were heard: is its lead on the board? Then look at the receiver's " +
		"settings for it"
	stoppedWhileHeard = "%s stopped at %s while the receiver heard its transmitter: look at its lead, then at the " +
		"receiver's supply and settings"
	stoppedUnknown = "%s stopped at %s, and no bus was heard: whether the receiver heard its transmitter then, or had power, " +
		"is not known. Put the bus on a tap and listen again"
	swingsByItself = "%s swings by itself, %s to either side, %d.%d times a second: too much gain%s, or something loose; " +
		"make the gain smaller"
	evenHere     = " (%s stands at %s: too much, even here)"
	straysTooFar = "%s strayed by %s at rest with stabilisation off; this tool takes it that a good receiver stays " +
		"within %s: look at the receiver's supply, and whether stabilisation is really off"
	strayedLittle    = "%s strayed by %s in %d pulses at rest with stabilisation off"
	sentWithoutPause = "%s sent pulses that a servo takes for %s, without a pause of its own"
)

const (
	// stillJitter is how far a good receiver's output strays with stabilisation
	// off: a quarter per cent of 1024 µs, an assumption of ours (from memory), ns.
	stillJitter = 2_600
	// sameSilence is how near to each other a bus and an output fall silent when it
	// is the receiver that stops.
	sameSilence = unit.Second
	// othersHeardFor is how long others are heard before one that is not is reported.
	othersHeardFor = 10 * unit.Second
	// linesHide is how many lines of a capture board must be lost in a second to hide an
	// output: half of the pulses of the slowest, which sends 50 a second.
	linesHide = 25
)

// pulses judges that an output's pulses come, are ones that a servo takes, and
// stand still at rest. An output that stops is wrong while its receiver goes on,
// hears its transmitter and has power, which a bus alone shows; without a signal it is
// the business of failsafe.
type pulses struct {
	output *sheet.Output

	Comes  bool          `json:"comes"`    // its pulses come
	Since  unit.Time     `json:"since_ns"` // and its receiver is not without a signal, since; -1: not now
	Heard  unit.Duration `json:"heard_ns"` // before that
	Bus    bool          `json:"bus"`      // a bus was heard, so that is known
	Gone   bool          `json:"gone"`     // the receiver hears nothing, or is not heard itself
	GoneAt unit.Time     `json:"gone_at_ns"`
	Back   unit.Time     `json:"back_ns"` // and since when it is again

	Came   bool          `json:"came"`      // once, at least, or it was said that it never did
	Others unit.Time     `json:"others_ns"` // another output came then, -1: none did
	Lost   int64         `json:"lost"`      // lines of the board, where that were enough to hide it
	LostIn unit.Duration `json:"lost_in_ns"`

	Waits    bool      `json:"waits"` // a silence is not yet known to be its own
	With     bool      `json:"with"`  // the receiver was gone then, too
	From     unit.Time `json:"from_ns"`
	Reported unit.Time `json:"told_ns"`
	Paused   unit.Time `json:"paused_ns"` // the latest silence that can't be judged began then, -1: there was none
}

func newPulses(b *Book, o *sheet.Output) *pulses {
	topics := topicsOf(b, o)
	b.add(FamilyPulses.ofOutput(o), fmt.Sprintf(sendsPulses, output(o)), listenOn(leastPulses), topics...)
	steady := b.add(FamilySteady.ofOutput(o), fmt.Sprintf(doesNotSwing, output(o)),
		Action{Do: DoWatchGain}, topics...)
	steady.OnlyWrong = true
	if jitters(b.sheet) {
		b.add(FamilyJitter.ofOutput(o), fmt.Sprintf(standsStill, output(o), unit.FormatWidth(stillJitter)),
			Action{Do: DoRest}, topics...)
	}
	return &pulses{output: o, Since: -1, GoneAt: -1, Others: -1, Paused: -1}
}

// jitters reports whether a sheet says when stabilisation is off.
func jitters(s *sheet.Sheet) bool {
	if s.Stabiliser == nil {
		return true
	}
	for i := range s.Stabiliser.Modes {
		if s.Stabiliser.Modes[i].Does == sheet.DoesNothing {
			return true
		}
	}
	return false
}

func (p *pulses) see(e *event.Event, b *Book) {
	p.receiver(e, b)
	p.lost(e, b)
	p.waits(e, b)
	if e.About == about(p.output) {
		p.own(e, b)
	}
	switch e.Kind {
	case event.TapDown:
		if kindOfTap(e, b.sheet) == "pulses" {
			p.unheard(e.From)
		}
	case event.BoardSilent, event.SessionResumed:
		p.unheard(e.From)
	case event.SessionEnded:
		p.end(e, b)
	}
}

// unheard is where nobody listens to the outputs. They are said to be back where somebody does again.
func (p *pulses) unheard(from unit.Time) {
	p.Comes = false
	p.pause(from)
}

// waits judges what could not be judged when it happened.
func (p *pulses) waits(e *event.Event, b *Book) {
	if p.Waits && (e.At.Sub(p.Reported) > sameSilence || e.Kind == event.SessionEnded) {
		p.stopped(e, b)
	}
	if e.Kind == event.OutputBack && e.About != about(p.output) && p.Others < 0 {
		p.Others = e.At
	}
	if !p.Came && p.Others >= 0 && e.At.Sub(p.Others) >= othersHeardFor && e.About != about(p.output) {
		p.never(e, b)
	}
}

// receiver follows whether the receiver is heard and hears its transmitter.
func (p *pulses) receiver(e *event.Event, b *Book) {
	switch e.Kind {
	case event.BusSilent, event.FailsafeEntered:
		p.gone(e.From)
	case event.TapDown:
		if kindOfTap(e, b.sheet) == "bus" {
			p.gone(e.From)
		}
	case event.BusLocked, event.FailsafeLeft:
		p.Bus = true
		p.Gone, p.Back = false, e.From
		p.count(e.From)
	}
}

// gone is for a receiver that hears nothing, or is not heard itself. It is back when its bus is.
func (p *pulses) gone(from unit.Time) {
	if p.Gone {
		return
	}
	p.Gone, p.GoneAt = true, from
	p.pause(from)
	p.With = p.With || p.Waits && p.withReceiver()
}

// kindOfTap is the kind of the tap that an event is about, "" where the sheet has none of that name.
func kindOfTap(e *event.Event, s *sheet.Sheet) string {
	name, _ := event.AboutTap.Name(e.About)
	for i := range s.Taps {
		if s.Taps[i].Name == name {
			return s.Taps[i].Kind
		}
	}
	return ""
}

func (p *pulses) own(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.OutputBackData:
		p.Comes, p.Came = true, true
		p.count(e.From)
		if p.Waits {
			p.stopped(e, b)
		}
	case event.SilentData:
		p.Comes = false
		p.pause(e.From)
		p.Waits, p.From, p.Reported = true, e.From, e.At
		p.With = p.withReceiver()
	case event.OutputOddData:
		b.wrong(FamilyPulses.ID(about(p.output)), fmt.Sprintf(noServoPulses,
			output(p.output), d.Pulses, unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS)),
			span, map[string]int64{"least_ns": int64(d.LeastNS), "most_ns": int64(d.MostNS), "pulses": d.Pulses})
	case event.OutputUnsteadyData:
		if e.Kind == event.OutputUnsteady {
			p.unsteady(&d, span, b)
		}
	case event.OutputJitterData:
		p.jitter(&d, span, b)
	}
}

// lost is for lines that did not come through: where there are enough of them to hide
// an output, its silence shows nothing, and it is said how many there were.
func (p *pulses) lost(e *event.Event, b *Book) {
	d, ok := e.Data.(event.BoardLostData)
	if !ok || (d.Lines+d.Dropped)*int64(unit.Second) < linesHide*max(int64(d.SpanNS), int64(unit.Second)) {
		return
	}
	if p.Others >= 0 && d.SpanNS >= unit.Second { // a single hole hides none for long
		p.Others = e.At
	}
	p.Waits = false
	p.Lost, p.LostIn = p.Lost+d.Lines+d.Dropped, p.LostIn+d.SpanNS
	p.hidden(b)
}

// hidden says why nothing is said of an output that is not heard, and reports whether
// that is so.
func (p *pulses) hidden(b *Book) bool {
	if p.Lost == 0 || p.Comes {
		return false
	}
	b.unclear(FamilyPulses.ID(about(p.output)), fmt.Sprintf(linesLost,
		output(p.output), p.Lost, unit.FormatDuration(p.LostIn)))
	return true
}

// never is for an output that is silent while others are heard: a lead that is not
// connected looks the same.
func (p *pulses) never(e *event.Event, b *Book) {
	p.Came = true
	b.wrong(FamilyPulses.ID(about(p.output)), fmt.Sprintf(sentNothing, output(p.output)),
		event.Span{From: p.Others, To: e.At}, nil)
}

// withReceiver reports whether the receiver, as it is known now, was gone when the
// output stopped.
func (p *pulses) withReceiver() bool {
	return p.GoneAt >= 0 && p.GoneAt <= p.From.Add(sameSilence) && (p.Gone || p.Back >= p.From)
}

// stopped judges a silence, once it is known whether it is the output's own. Where no bus
// was heard that is never known: many receivers stop outputs without a signal, as they may.
func (p *pulses) stopped(e *event.Event, b *Book) {
	p.Waits = false
	if p.With {
		return
	}
	if !p.Bus {
		p.Paused = p.From
		p.unknown(b)
		return
	}
	b.wrong(FamilyPulses.ID(about(p.output)), fmt.Sprintf(stoppedWhileHeard, output(p.output), unit.FormatClock(p.From)),
		event.Span{From: p.From, To: e.At}, map[string]int64{"silent_ns": int64(e.At.Sub(p.From))})
}

// unknown says why a silence is not judged, and reports whether there was one.
func (p *pulses) unknown(b *Book) bool {
	if p.Paused < 0 {
		return false
	}
	b.doubt(FamilyPulses.ID(about(p.output)), fmt.Sprintf(stoppedUnknown, output(p.output), unit.FormatClock(p.Paused)))
	return true
}

func (p *pulses) unsteady(d *event.OutputUnsteadyData, span event.Span, b *Book) {
	even := ""
	if d.GainNS != 0 {
		even = fmt.Sprintf(evenHere, name(b, b.sheet.Gain.Channel), unit.FormatWidth(d.GainNS))
	}
	b.wrong(FamilySteady.ID(about(p.output)), fmt.Sprintf(swingsByItself,
		output(p.output), unit.FormatWidth(d.AmplitudeNS), d.MilliHz/1000, d.MilliHz%1000/100, even),
		span, map[string]int64{"milli_hz": d.MilliHz, "amplitude_ns": int64(d.AmplitudeNS)})
}

func (p *pulses) jitter(d *event.OutputJitterData, span event.Span, b *Book) {
	if outputsDo(b.sheet, d.Mode) != sheet.DoesNothing {
		return
	}
	figures := map[string]int64{"spread_ns": int64(d.SpreadNS), "pulses": d.Pulses}
	spread := unit.FormatWidth(d.SpreadNS)
	if d.SpreadNS > stillJitter {
		b.wrong(FamilyJitter.ID(about(p.output)), fmt.Sprintf(straysTooFar,
			output(p.output), spread, unit.FormatWidth(stillJitter)), span, figures)
		return
	}
	b.right(FamilyJitter.ID(about(p.output)), fmt.Sprintf(strayedLittle, output(p.output), spread, d.Pulses), span, figures)
}

// count begins to count the time in which a pause of its own would show.
func (p *pulses) count(at unit.Time) {
	if p.Comes && !p.Gone && p.Since < 0 {
		p.Since = at
	}
}

func (p *pulses) pause(at unit.Time) {
	if p.Since >= 0 {
		p.Heard += max(0, at.Sub(p.Since))
		p.Since = -1
	}
}

// end judges what never happened.
func (p *pulses) end(e *event.Event, b *Book) {
	p.pause(e.At)
	if p.unknown(b) {
		return
	}
	id := FamilyPulses.ID(about(p.output))
	if lack := lacksTime(p.Heard, leastPulses); lack != "" {
		if p.Heard > 0 && !p.hidden(b) {
			b.unclear(id, lacking(output(p.output)+" made no pause of its own so far", lack))
		}
		return
	}
	b.right(id, fmt.Sprintf(sentWithoutPause, output(p.output), unit.FormatDuration(p.Heard)),
		event.Span{From: max(0, e.At.Add(-p.Heard)), To: e.At}, map[string]int64{"heard_ns": int64(p.Heard)})
}

func (p *pulses) forget(what string, at unit.Time) {
	if what == TopicAll || what == TopicOutputs {
		p.Heard, p.Others, p.Came, p.Since = 0, -1, p.Comes, -1
		p.Lost, p.LostIn, p.Paused = 0, 0, -1
		p.count(at)
	}
}

package monitor_test

import (
	"fmt"
	"sort"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// rule says why an event is false by what really happened; "" where it is not.
type rule func(*scene, *event.Event) string

func asFed(*scene, *event.Event) string { return "" }

func neverHere(why string) rule { return func(*scene, *event.Event) string { return why } }

// eventRules has a predicate for each kind; nil stands for leads: not judged here.
var eventRules = map[string]rule{
	event.SessionBegan: asFed, event.SessionResumed: neverHere("nothing was resumed"), event.SessionEnded: asFed,
	event.Mark: asFed, event.MarkStruck: neverHere("nobody struck a mark"), event.Reopened: asFed, event.VerdictChanged: verdictChanged,
	event.ClockStepped: neverHere("the clock was never set"), event.RecordingGap: neverHere("the recording has no gap"),
	event.JudgementFailed: neverHere("judgement failed"), event.RecordingHurt: neverHere("nobody hurt the recording"),

	event.DrillBegan: asFed, event.DrillPrompted: asFed, event.DrillHint: asFed, event.DrillAnswered: asFed, event.DrillEnded: asFed,
	event.DrillRefused: asFed, event.PapersChanged: asFed, event.LevelLearned: asFed, event.LimitsLearned: asFed,

	event.TapUp: asFed, event.TapDown: neverHere("the plug was never pulled"),
	event.TapOverrun: neverHere("the port lost nothing"),
	event.BusLocked:  busLocked, event.BusSilent: busSilent, event.BusLate: busLate, event.LineFault: lineFault, event.BusExposure: busWatched,
	event.AirMissed: airMissed, event.RangeMark: rangeMark, event.WireGap: wireGap, event.WireDamaged: wireDamaged, event.PeriodChanged: periodChanged,
	event.FailsafeEntered: failsafeEntered, event.FailsafeLeft: failsafeLeft, event.FailsafeSettled: failsafeSettled,
	event.LinkLost: linkLost, event.LinkRestored: linkRestored, event.ValuesPaused: valuesPaused,
	event.SwitchMoved: switchMoved, event.ModeAsked: modeAsked, event.ValuesJumped: valuesJumped,
	event.GestureMade: gestureMade, event.TravelClipped: travelClipped, event.TravelFree: travelClipped,
	event.ValuesStill: valuesStill, event.ValuesMoving: valuesMoving, event.ValueSpiked: valueSpiked,
	event.GainSwept: gainSwept, event.LossMeasured: lossMeasured, event.PowerUpMeasured: powerUpMeasured,
	event.MemoryTried: neverHere("the sheet does not say what another memory does"),

	event.BoardHeard: nil, event.BoardSilent: nil, event.BoardLost: nil, event.OutputSilent: nil, event.OutputBack: nil,
	event.OutputOdd: nil, event.OutputPaced: nil, event.OutputJitter: nil, event.OutputUnsteady: nil, event.OutputCalm: nil,
	event.OutputClipped: nil, event.OutputFollows: nil, event.OutputReached: nil, event.OutputBeyond: nil, event.OutputShifted: nil, event.LossOutputs: nil,

	event.TiltHeard: neverHere("no phone is a tap"), event.TiltSilent: neverHere("no phone is a tap"), event.TiltTrouble: neverHere("no phone is a tap"),
	event.TiltHeld: neverHere("no phone is a tap"), event.TiltLaid: neverHere("no phone is a tap"),
	event.PhoneTurned: neverHere("no phone is a tap"),

	event.ChannelsHeard: neverHere("the sheet has channels"), event.ChannelMoved: neverHere("the sheet has channels"),

	event.EdgeMeasured: neverHere("no edges are asked for"), event.GainMeasured: neverHere("no gain series is asked for"),
	event.ModelRested: neverHere("no figures are asked for"), event.AnswerFitted: neverHere("no figures are asked for"),
	event.EntryMeasured: neverHere("no figures are asked for"), event.LevelMeasured: neverHere("no figures are asked for"),

	event.SoakCounted: soakCounted, event.GoalReached: neverHere("no goal was declared"),
	event.GoalMissed: neverHere("no goal was declared"),
}

func busLocked(w *scene, e *event.Event) string {
	if len(w.around(e, 0)) == 0 {
		return "no frame was on the wire"
	}
	return ""
}

func busSilent(w *scene, e *event.Event) string {
	const off = 300 * unit.Millisecond // where a wire time was not known well
	for _, s := range w.silences() {
		if s.From <= e.At && s.To >= e.From.Add(-off) && s.From <= e.From.Add(off) {
			return ""
		}
	}
	return "the wire was not silent"
}

func airMissed(w *scene, e *event.Event) string {
	d, n := e.Data.(event.FramesMissingData), int64(0)
	for _, f := range w.around(e, 0) {
		if !plain(&f) {
			n++
		}
	}
	if !w.damage && d.Frames > n || d.Frames < 1 {
		return fmt.Sprintf("%d frames were flagged", n)
	}
	return ""
}

// rangeMark: what was missed at a mark was flagged while somebody stood there.
func rangeMark(w *scene, e *event.Event) string {
	d, n := e.Data.(event.RangeMarkData), int64(0)
	frames := w.around(e, 0)
	for _, f := range frames {
		if !plain(&f) {
			n++
		}
	}
	if !w.damage && d.Missed > n || d.Frames > int64(len(frames)) || d.Missed > d.Frames || d.Longest > d.Missed {
		return fmt.Sprintf("%d of %d frames were flagged", n, len(frames))
	}
	return ""
}

func wireGap(w *scene, e *event.Event) string {
	d, lacking := e.Data.(event.FramesMissingData), int64(0)
	frames := w.around(e, 0)
	for i := 1; i < len(frames); i++ {
		if gap := unit.Duration(frames[i].At - frames[i-1].At); gap*10 >= w.period*14 {
			lacking += int64((gap + w.period/2) / w.period)
		}
	}
	if d.Frames > lacking {
		return fmt.Sprintf("%d frames were lacking at most", lacking)
	}
	return ""
}

func wireDamaged(w *scene, e *event.Event) string {
	if w.damage || e.From < unit.Time(2*w.period) { // the first bytes may be the rest of a frame
		return ""
	}
	return "nothing was damaged on the wire"
}

func periodChanged(w *scene, e *event.Event) string {
	if off := e.Data.(event.PeriodData).PeriodNS - w.period; unit.Abs(off) > 250*unit.Microsecond {
		return fmt.Sprintf("frames came every %.2f ms", float64(w.period)/1e6)
	}
	return ""
}

func failsafeEntered(w *scene, e *event.Event) string {
	d := e.Data.(event.FailsafeData)
	if d.BeforeLink {
		return failsafeBeforeLink(w, e, &d)
	}
	why := "four frames in a row with the flag never came while the signal was gone"
	from, to := w.window(e)
	for i := range w.gones {
		g := &w.gones[i]
		if flagged := g.flagged(); flagged < 0 || g.from.Add(flagged) < from.Add(-200*unit.Millisecond) || g.from > to {
			continue
		}
		if why = w.entered(e, &d, g); why == "" {
			break
		}
	}
	return why
}

// entered says what is false in a failsafe flag reported a stretch without live frames.
func (w *scene) entered(e *event.Event, d *event.FailsafeData, g *gone) string {
	switch {
	case !g.linked():
		return "there had been no link, or the supply was cut"
	case d.AfterNS >= 0 && !w.datesFlag(d, g, slack+w.period+w.late+w.stalled(e)):
		return fmt.Sprintf("the flag came %.3f s after the last live frame", float64(g.flagged())/1e9)
	}
	return ""
}

// failsafeBeforeLink claims nothing but that no live frame was seen before, or none
// since the line was silent.
func failsafeBeforeLink(w *scene, e *event.Event, d *event.FailsafeData) string {
	if d.AfterSilence || run(w.between(0, e.From), plain) < 0 || run(w.between(0, e.At), w.believable) < 0 {
		return ""
	}
	at := run(w.around(e, 200*unit.Millisecond), withFlag(bus.Failsafe))
	if g := w.at(at); at >= 0 && g != nil && (!g.linked() || g.power != unit.Never) {
		return ""
	}
	return "it was linked before"
}

// datesFlag says whether last live frame and flag were when that is reported.
func (w *scene) datesFlag(d *event.FailsafeData, g *gone, off unit.Duration) bool {
	return g.dates(d.LiveNS, off) && unit.Abs(d.LiveNS.Add(d.AfterNS).Sub(g.from)-g.flagged()) <= off
}

// at is the stretch without a live frame at a moment, nil: there is none.
func (w *scene) at(moment unit.Time) *gone {
	i := sort.Search(len(w.gones), func(i int) bool { return w.gones[i].to > moment })
	if i == len(w.gones) || w.gones[i].from >= moment {
		return nil
	}
	return &w.gones[i]
}

// stalled is how long the computer did not read around an event.
func (w *scene) stalled(e *event.Event) (lasted unit.Duration) {
	from, to := w.window(e)
	for _, s := range w.stalls {
		if s.From <= to && s.To >= from {
			lasted += s.To.Sub(s.From)
		}
	}
	return lasted
}

func linkLost(w *scene, e *event.Event) string {
	d := e.Data.(event.LinkData)
	g := w.at(e.At)
	switch {
	case g == nil || !g.linked():
		return "the signal was there"
	case run(g.frames, withFlag(bus.Lost)) < 0 && g.flagged() < 0:
		return "no frame was flagged"
	case !g.dates(d.LiveNS, slack+w.late+w.stalled(e)) && unit.Abs(d.LiveNS.Sub(g.from)) > w.unsure(g)+w.late+w.stalled(e):
		return fmt.Sprintf("the last live frame was at %.3f s", float64(g.from)/1e9)
	}
	return ""
}

func linkRestored(w *scene, e *event.Event) string {
	for _, g := range w.ofLoss(e.At) {
		if g.back && unit.Abs(g.to.Sub(e.From)) <= slack+w.late+w.stalled(e) {
			return ""
		}
	}
	if w.unflaggedAgain(e.From, slack+w.late) {
		return "" // the flags went with the first packet, whatever the receiver sent on
	}
	return "the signal did not come back then"
}

func failsafeLeft(w *scene, e *event.Event) string {
	if run(w.around(e, 200*unit.Millisecond), func(f *world.Frame) bool { return f.Frame.Flags&bus.Failsafe == 0 }) < 0 {
		return "four frames in a row without the flag never came"
	}
	return ""
}

func failsafeSettled(w *scene, e *event.Event) string {
	d := e.Data.(event.FailsafeSettledData)
	g := w.at(e.At.Add(-5 * w.period)) // frames are judged a few behind
	switch {
	case g == nil || !g.linked() || e.At > g.power:
		return "there was no loss of a link"
	case g.flagged() < 0:
		return "the failsafe flag never came"
	case d.LiveNS >= 0 && !g.dates(d.LiveNS, 200*unit.Millisecond+w.late+w.stalled(e)): // few frames without a flag may have come last
		return fmt.Sprintf("the last live frame was %.3f s", float64(g.from)/1e9)
	}
	for i := range d.Now {
		if !w.stood(w.around(e, 0), i+1, d.Now[i], func(*world.Frame) bool { return true }) {
			return fmt.Sprintf("channel %d did not stand at %d", i+1, d.Now[i])
		}
		if !g.stayed(w, i+1, uint32(w.sh.Scale.Count(int64(d.Was[i])))) {
			return fmt.Sprintf("channel %d stood at %d before", i+1, w.width(g.was, i+1))
		}
	}
	return ""
}

func powerUpMeasured(w *scene, e *event.Event) string {
	d := e.Data.(event.PowerUpData)
	if d.Off && len(w.dates("power", w.tap, "off", e.At)) == 0 {
		return "its supply was never cut"
	}
	return ""
}

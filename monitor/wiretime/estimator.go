// Package wiretime estimates when a bus frame was on the wire from when it was read.
//
// A read comes late: an adapter collects bytes for up to 16 ms, a busy computer
// adds its own. It never comes early. So the true times lie on a straight line
// (the bus keeps its period) on or below the dates, and the line that touches
// the smallest lags is the estimate:
//
//	date   .    .    .  :    .         . dates of frames
//	     .   .    .    .   .
//	   /---------------------------    the line, period per frame
//
// The estimate is causal and depends on (frame, date) alone, never on where a
// read began or ended. All arithmetic is in integers.
package wiretime

import (
	"cmp"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	learning = 64 // frames until the period is first known
	window   = 64 // frames between two corrections

	// freshWindows is how many windows it takes until a fresh period, which a frame
	// missing while it was learned puts off by up to a fiftieth, is settled.
	freshWindows = 8

	// provenAfter is how many windows without a missing frame it takes, one behind the other,
	// until a period that was learned behind a late delivery is believed.
	provenAfter = 3

	// settleFrames is how many frames it takes until frames count as missing for
	// good: a late read brings the supposedly missing ones at once.
	settleFrames = 16

	// provenFrames is how many frames on time, one behind the other, prove that frames were missing
	// before them; the first, which came behind those, says nothing.
	provenFrames = 4

	// periodFraction is the fraction of a nanosecond that the period is kept in.
	periodFraction = 1 << 16

	// far is how long after Zero another is taken, half of it back.
	far = 2 * 60 * unit.Minute

	// relearnPause is a silence after which the line is laid anew.
	relearnPause = 200 * unit.Millisecond
)

// Estimator follows one bus; NewEstimator makes one. Its exported fields are what a
// checkpoint keeps.
type Estimator struct {
	Period int64     // ns × periodFraction; 0: not known yet
	Was    int64     // the one before a late delivery, behind which it is learned anew
	Zero   unit.Time // Line counts from here: in fractions of a nanosecond from the beginning, two days would overflow
	Line   int64     // wire time of the last frame after Zero, ns × periodFraction
	Last   unit.Time
	Before unit.Time // the latest date that is not Last
	Out    unit.Time // the last estimate handed out: they never decrease

	Learnt []unit.Time // dates while learning, and then of this window
	Anew   bool        // learning began anew behind a short hole: an adapter whose step is nearly the period leaves such, too

	Frames   int           // in this window
	Least    unit.Duration // smallest lag in this window
	Most     unit.Duration // largest lag in this window
	MostWas  unit.Duration // and in the one before
	Pulled   unit.Duration // how far the line was pulled down in this window
	Lifted   unit.Duration // and up
	Recent   unit.Duration // how far up lately
	Missing  int           // frames taken as missing in this window
	Claimed  int           // and since the last window without any
	Rough    bool          // this window says nothing about the period
	Leapt    bool          // nor does it if the line was pulled down at once by half a period or more: it did not lie where the bus is
	Doubt    int           // frames taken as missing lately that may be taken back
	Settle   int           // frames until they may not
	Borne    int           // frames on time since, one behind the other, that the line did not lie above
	Young    int           // windows in which the period is still allowed to move fast
	Fresh    int           // frames until the line is known to lie no period too low
	Unproven int           // windows in a row without a missing frame until a period that was learned behind a late delivery is believed

	Run  FastRun       // of frames that came at once
	Calm unit.Duration // largest lag while the period was borne out: the adapter's own

	frameTime unit.Duration
}

// NewEstimator makes an estimator of a bus whose frames take frameTime on the wire.
func NewEstimator(frameTime unit.Duration) Estimator { return Estimator{frameTime: frameTime} }

// shortest is the shortest period that is believed, ns × periodFraction: a frame's own
// time, by a receiver whose clock is fast by a thirty-second, which no character survives.
func (e *Estimator) shortest() int64 { return int64(e.frameTime-e.frameTime/32) * periodFraction }

// Frame takes the date of a frame and says when it was on the wire.
func (e *Estimator) Frame(at unit.Time) (wire unit.Time, pace event.Pace) {
	if at != e.Last {
		e.Before = e.Last
	}
	since := at.Sub(e.Last)
	e.Last = at
	e.near(at)
	known := e.pace(0)
	known.Patience = 0 // whether a hole is one is asked of the line
	e.Run.add(at, since, known.Limit(), e.latest())
	turned := e.Run.judge(at, e.latest(), e.lateness(), e.frameTime)
	switch {
	case e.Run.Late:
		missing := 0
		if turned {
			missing = min(-e.Run.Net, e.laid(-e.unborne()))
		}
		e.relearn()
		return e.handOver(at), e.pace(missing)
	case e.Period == 0:
		e.learn(at, since)
		return e.handOver(at), e.pace(0)
	case since > relearnPause:
		e.Line = e.fined(at)
		missing := e.laid(-e.unborne())
		e.Doubt, e.Borne, e.Claimed = 0, 0, 0
		e.next()
		return e.handOver(at), e.pace(missing)
	}
	missing := e.laid(e.step(at))
	e.measure(at)
	e.Learnt = append(e.Learnt, at)
	if e.Frames++; len(e.Learnt) == window {
		missing -= e.correct()
	}
	e.Run.Net += missing
	wire = e.handOver(min(at, e.lineAt()))
	return wire, e.pace(missing)
}

// near takes another Zero once the last is far. A line that a leap makes useless is
// laid anew by whoever leapt.
func (e *Estimator) near(at unit.Time) {
	if at.Sub(e.Zero) < far {
		return
	}
	by := at.Sub(e.Zero) - far/2
	e.Zero = e.Zero.Add(by)
	e.Line -= int64(by) * periodFraction
}

// fined is a date as Line counts.
func (e *Estimator) fined(at unit.Time) int64 { return int64(at.Sub(e.Zero)) * periodFraction }

// lineAt is Line as a date.
func (e *Estimator) lineAt() unit.Time { return e.Zero.Add(unit.Duration(e.Line / periodFraction)) }

// relearn has the period learned anew: what was read late has no dates of its own.
func (e *Estimator) relearn() {
	*e = Estimator{
		Was:  cmp.Or(e.Period, e.Was),
		Zero: e.Zero, Last: e.Last, Before: e.Before, Out: e.Out, Most: e.Most, MostWas: e.MostWas, Calm: e.Calm, Run: e.Run, Learnt: e.Learnt[:0],
		Unproven: provenAfter, frameTime: e.frameTime,
	}
}

// Reset forgets the line but not the period: the tap went down.
func (e *Estimator) Reset() {
	e.Last = e.Last.Add(-2 * relearnPause)
	e.Learnt = nil
}

func (e *Estimator) handOver(t unit.Time) unit.Time {
	e.Out = max(e.Out, t)
	return e.Out
}

// latest is the period as it is known, or was before it had to be learned anew; 0: never.
func (e *Estimator) latest() unit.Duration {
	return unit.Duration(cmp.Or(e.Period, e.Was) / periodFraction)
}

func (e *Estimator) pace(missing int) event.Pace {
	lacking := unit.Duration(0)
	if e.Run.Late {
		lacking = e.Run.lacking(e.latest())
	}
	return event.Pace{
		Known: e.Period != 0, Period: unit.Duration((e.Period + periodFraction/2) / periodFraction), Clump: e.clump(), Missing: missing,
		Run: e.Run.Frames, Late: e.Run.Late, Lacking: lacking, Patience: e.Run.patience(), Unsure: e.Run.unsure(),
	}
}

// lateness is how late the adapter may be taken to hand over.
func (e *Estimator) lateness() unit.Duration {
	if e.Period == 0 {
		return max(e.clump(), assumedClump)
	}
	return e.clump()
}

func (e *Estimator) clump() unit.Duration { return max(e.Most, e.MostWas) }

// tolerance is how far the line may be lifted in a few frames before one counts
// as missing: the lags of a slow bus behind a slow adapter come in steps
// of that size.
func (e *Estimator) tolerance() unit.Duration { return unit.Duration(e.Period / periodFraction / 6) }

func (e *Estimator) lift(by unit.Duration) {
	e.Line += int64(by) * periodFraction
	e.Lifted += by
	e.Recent += by
}

// step moves the line on by one frame and those that must be missing before it.
func (e *Estimator) step(at unit.Time) (missing int) {
	e.Line += e.Period
	e.Recent = max(0, e.Recent-e.tolerance()/16)
	// The frame was not there when the read before came, and no lag is much
	// longer than those seen lately.
	earliest := e.fined(max(e.Before, at.Add(-e.clump()-e.tolerance())))
	for e.Line < earliest {
		if short := unit.Duration((earliest - e.Line + periodFraction - 1) / periodFraction); e.Recent+short <= e.tolerance() {
			e.lift(short)
			break
		}
		e.lift(-e.Recent) // what looked like a line too low was part of this
		e.Line += e.Period
		missing++
	}
	for missing <= 0 && e.Doubt > 0 && e.Line > e.fined(at)+e.Period/2 {
		// It came too early: the frames taken as missing were only late.
		e.Line -= e.Period
		e.Doubt--
		missing--
	}
	e.Missing += missing
	if missing != 0 { // what is taken back may bring more
		e.Borne = 0
		e.Doubt, e.Settle = e.Doubt+max(0, missing), settleFrames
		e.Rough = e.Missing != 0 || e.Doubt > 0 // else all of it was only late: the window is as good as any
	}
	if e.Settle--; e.Settle <= 0 {
		e.Doubt, e.Settle = 0, 0
	}
	return missing
}

// bear counts the frames that bear out what was taken as missing.
func (e *Estimator) bear(lag unit.Duration) {
	if lag < -e.tolerance() {
		e.Borne = 0
	} else if e.Run.Frames == 1 {
		e.Borne++
	}
}

// unborne is how many of the frames in doubt are not known to be missing when nobody reads any
// longer: frames that are read at once show nothing, so a few on time are to show that the line
// lies where the bus is.
func (e *Estimator) unborne() int {
	if e.Borne > provenFrames {
		return 0
	}
	return e.Doubt
}

// laid holds back what counts as missing right behind the learning: it went missing
// while the period was learned, and the line was laid a period too low for it. Where a
// computer was so busy that a delivery was late, the dates behind it are poor ones to learn
// from: nothing counts until windows in a row have borne the period out.
func (e *Estimator) laid(missing int) int {
	if e.Fresh == 0 && e.Unproven > 0 {
		e.Claimed -= missing
		return 0
	}
	if e.Fresh == 0 {
		return missing
	}
	if e.Doubt == 0 {
		e.Fresh--
	}
	e.Claimed -= missing
	return 0
}

// measure notes the lag of this frame and pulls the line down to the date if it
// lies above.
func (e *Estimator) measure(at unit.Time) {
	lag := at.Sub(e.lineAt())
	known := lag >= 0 || e.Doubt == 0 // else the line may be whole periods too high
	if e.Doubt > 0 {
		e.bear(lag)
	}
	if lag < 0 && known {
		e.Line = e.fined(at)
		e.Pulled -= lag
		e.Leapt = e.Leapt || -lag > unit.Duration(e.Period/periodFraction/2)
	}
	lag = max(lag, 0)
	if e.Frames == 0 {
		e.Least, e.Most = lag, lag
	}
	if !known {
		return
	}
	e.Least, e.Most = min(e.Least, lag), max(e.Most, lag)
}

// correct ends a window: half of the smallest lag lifts the line, and what the
// line was moved by shows how far the period is off. A window in which frames
// went missing, or seemed to, shows nothing about the period, and no window may
// change it by more than a 512th: a busy computer must not bend it.
func (e *Estimator) correct() (takenBack int) {
	if e.Missing == 0 {
		e.Claimed = 0
	}
	lift := e.Least / 2
	moved := lift + e.Lifted - e.Pulled
	e.prove(moved)
	e.Claimed += e.Missing
	strange := e.Missing >= 3 || e.Pulled > unit.Duration(e.Period/periodFraction)
	if strange {
		if takenBack, other := e.otherPeriod(); other {
			return takenBack
		}
	}
	e.Line += int64(lift) * periodFraction
	if !e.Rough && !e.Leapt {
		e.drift(int64(moved) * periodFraction / (4 * window))
	}
	if !strange && !e.Rough {
		e.Calm = max(e.Most, e.Calm*15/16)
	}
	half := e.Learnt[window/2:]
	e.next()
	if strange { // another pace may have begun in the middle: the next half will show it
		e.Learnt = append(e.Learnt, half...)
	}
	return 0
}

// prove counts the windows that bear the period out: those in which no frame went missing and the
// line did not have to be moved by much to follow the dates, which a period too short or too long
// comes to.
func (e *Estimator) prove(moved unit.Duration) {
	switch {
	case e.Unproven == 0:
	case e.Missing == 0 && max(moved, -moved) <= e.tolerance():
		e.Unproven--
	default:
		e.Unproven = provenAfter
	}
}

// drift moves the period a little.
func (e *Estimator) drift(off int64) {
	most := e.Period / 512
	if e.Young > 0 {
		e.Young--
		most *= 8
	}
	e.Period = max(e.shortest(), e.Period+max(-most, min(most, off)))
}

// next begins a window.
func (e *Estimator) next() {
	e.MostWas, e.Frames, e.Pulled, e.Lifted, e.Missing, e.Rough, e.Leapt = e.Most, 0, 0, 0, 0, false, false
	e.Learnt = e.Learnt[:0]
}

// otherPeriod takes up another period if the dates of this window lie along its
// line at least as well as along ours with all that went missing or was pulled
// down, or if they lie along one line, first half and second, as well as the
// adapter lets any. Then nothing was missing: what was claimed so is to be taken back.
func (e *Estimator) otherPeriod() (takenBack int, other bool) {
	period, line, most := lowerEdge(e.Learnt, e.Zero)
	off := period - e.Period
	if period < e.shortest() || max(off, -off) < e.Period/50 {
		return 0, false
	}
	if most > e.Most+e.tolerance() && !(most <= e.Calm+e.tolerance() && steady(e.Learnt)) {
		return 0, false
	}
	takenBack = e.Claimed
	*e = Estimator{
		Period: period, Zero: e.Zero, Line: line, Last: e.Last, Before: e.Before, Out: e.Out, Young: freshWindows,
		Most: most, MostWas: most, Calm: e.Calm, Run: e.Run, Learnt: e.Learnt[:0],
		Unproven: e.Unproven, frameTime: e.frameTime,
	}
	return takenBack, true
}

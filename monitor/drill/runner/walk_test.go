package runner_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// walker is a rig whose drill is a range walk; somebody is there to be asked.
func walker(t *testing.T, torn bool) *rig {
	r := newRig(t, starter(t))
	r.torn = torn
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: drill.Range, Do: event.StepBegin, Attended: true})
	r.step(drill.Range, event.StepConfirm)
	for _, words := range []string{"reduced", "  1 m   both ", "upright", "Ann"} {
		r.says(words)
	}
	require.Equal(t, "range/walk", last[event.DrillPromptedData](r).Prompt)
	return r
}

func (r *rig) says(words string) {
	r.input(event.DrillStep{Drill: drill.Range, Do: event.StepDone, Words: words})
}

// last is the data of the latest event that has such; the zero value where none has.
func last[D any](r *rig) (data D) {
	for _, e := range r.events {
		if d, ok := e.Data.(D); ok {
			data = d
		}
	}
	return data
}

func count[D any](r *rig) (n int) {
	for _, e := range r.events {
		if _, ok := e.Data.(D); ok {
			n++
		}
	}
	return n
}

// misses lets frames come that the receiver flags.
func (r *rig) misses(frames int, flags bus.Flags) {
	was := r.frame.Flags
	r.frame.Flags = flags
	r.hear(unit.Duration(frames) * period)
	r.frame.Flags = was
}

// stays is a mark from its distance to its end: frames, and a run of missed ones each second.
func (r *rig) stays(mark string, seconds, run int) event.RangeMarkData {
	r.says(mark)
	for range seconds {
		r.hear(135 * period)
		r.misses(run, bus.Lost)
		r.pass(1)
	}
	r.hear(period)
	r.says("")
	return last[event.RangeMarkData](r)
}

func TestAWalkAsksUnderWhatItIsDone(t *testing.T) {
	r := walker(t, false)
	var words []string
	for _, e := range r.events {
		if d, ok := e.Data.(event.DrillAnsweredData); ok {
			words = append(words, d.Words)
			assert.Empty(t, d.Doubt)
		}
	}
	assert.Equal(t, []string{"reduced", "1 m both", "upright", "Ann"}, words)
}

// An Enter alone says nothing: it is asked about, and then kept as not said.
func TestWhatIsNotSaidIsAskedAbout(t *testing.T) {
	r := newRig(t, starter(t))
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: drill.Range, Do: event.StepBegin, Attended: true})
	r.step(drill.Range, event.StepConfirm)
	r.says("")
	assert.Contains(t, last[event.DrillHintData](r).Why, "this walk can't be compared")
	assert.Zero(t, count[event.DrillAnsweredData](r))
	r.says("")
	assert.Equal(t, "nobody said it", last[event.DrillAnsweredData](r).Doubt)
	r.says("")
	r.says("1 m")
	assert.Equal(t, event.DrillAnsweredData{}.Doubt, last[event.DrillAnsweredData](r).Doubt)
	assert.Equal(t, "1 m", last[event.DrillAnsweredData](r).Words)
}

func TestFiguresOfAMark(t *testing.T) {
	for _, torn := range []bool{false, true} {
		r := walker(t, torn)
		d := r.stays("10 m", 20, 8)
		assert.Equal(t, int64(20*143+1-3), d.Frames, "the first four make the link")
		assert.Equal(t, int64(160), d.Missed)
		assert.Equal(t, int64(20), d.Runs)
		assert.Equal(t, int64(8), d.Longest)
		assert.Len(t, d.Blocks, 9, "2 s each; the last is not over")
		assert.Equal(t, 60*unit.Second, d.NeedNS, "from 5 %, bursts of up to 20")
		assert.True(t, d.Left)
		assert.False(t, d.Way)
		assert.Zero(t, d.NoneNS)
		assert.Equal(t, "mark 10 m: 4.92 % missed, 140 of 2841 frames in 19.88 s, at most 7 in a row; it is missed in runs too long to say how long to stay",
			event.Sentence(&event.Event{Kind: event.RangeMark, Data: event.RangeMarkData{
				Mark: "10 m", Frames: 2841, Missed: 140, Longest: 7, ForNS: 19_880 * unit.Millisecond}}))
		assert.Equal(t, "mark 10 m: 0.7 % missed, 20 of 2841 frames in 19.88 s, at most 7 in a row; too little is missed for a doubling to show",
			event.Sentence(&event.Event{Kind: event.RangeMark, Data: event.RangeMarkData{
				Mark: "10 m", Frames: 2841, Missed: 20, Longest: 7, ForNS: 19_880 * unit.Millisecond}}))
	}
}

// While somebody stands there it is said how it is, each ten seconds.
func TestProgressAtAMark(t *testing.T) {
	r := walker(t, false)
	r.says("10 m")
	for range 25 {
		r.hear(unit.Second)
		r.pass(1)
	}
	assert.Equal(t, 2, count[event.RangeMarkData](r))
	d := last[event.RangeMarkData](r)
	assert.False(t, d.Left)
	assert.Empty(t, d.Blocks)
}

// Until four plain frames in a row a flag means nothing; behind a silence likewise.
func TestFlagsCountOnceThereIsALink(t *testing.T) {
	r := walker(t, false)
	r.pass(unit.Second) // a silence
	r.says("10 m")
	r.misses(50, bus.Lost)
	for range 3 {
		r.hear(3 * period)
		r.misses(1, bus.Lost)
	}
	r.hear(3 * period)
	r.says("")
	assert.Zero(t, last[event.RangeMarkData](r).Frames)
	r.says("20 m")
	r.hear(4 * period)
	r.misses(30, bus.Lost|bus.Failsafe)
	r.says("")
	d := last[event.RangeMarkData](r)
	assert.Equal(t, int64(30), d.Missed, "a failsafe is missed too")
	assert.Equal(t, int64(30), d.Longest)
}

// A silence is no share: what came before it and after it counts, blocks begin anew.
func TestASilenceAtAMark(t *testing.T) {
	r := walker(t, false)
	r.says("10 m")
	r.hear(3 * unit.Second)
	r.pass(5 * unit.Second)
	r.hear(5 * unit.Second)
	r.says("")
	d := last[event.RangeMarkData](r)
	assert.InDelta(t, float64(5*unit.Second), float64(d.NoneNS), float64(20*unit.Millisecond))
	assert.Len(t, d.Blocks, 3, "one before, two behind")
	assert.Less(t, d.ForNS, 8*unit.Second)
	assert.Contains(t, event.Sentence(&event.Event{Kind: event.RangeMark, Data: d}), "NO FRAMES for 5.0")
	r.says("20 m")
	r.pass(unit.Second)
	r.says("")
	d = last[event.RangeMarkData](r)
	assert.Equal(t, unit.Second, d.NoneNS, "silent till it was left")
	assert.Contains(t, event.Sentence(&event.Event{Kind: event.RangeMark, Data: d}), "no frame of a link was heard; NO FRAMES for 1.00 s")
}

// late lets frames come at once that lay waiting while nobody read: the first few can't be told from such as come
// behind a silence. So much of the time before them they do not fill.
func (r *rig) late(frames int, lacking unit.Duration) {
	for i := range frames {
		f, pace := r.frame, event.Pace{Unsure: i < 3, Late: i >= 3, Lacking: lacking}
		r.see(event.Observation{At: r.now, Wire: r.now, Tap: tap, Kind: event.FrameSeen, Frame: &f, Pace: pace})
	}
}

// A computer that stood still at a mark makes no silence of it; where the bus fell silent meanwhile, that is one.
func TestFramesOfAMarkThatWereReadLate(t *testing.T) {
	for name, c := range map[string]struct {
		hole, lacking, none unit.Duration
	}{
		"the computer stood still":      {3 * unit.Second, 0, 0},
		"less than a second is lacking": {3 * unit.Second, unit.Second - 1, 0},
		"the bus was silent besides":    {3 * unit.Second, 2 * unit.Second, 2 * unit.Second},
		"more is lacking than that":     {3 * unit.Second, 8 * unit.Second, 3*unit.Second + period},
	} {
		t.Run(name, func(t *testing.T) {
			for _, torn := range []bool{false, true} {
				r := walker(t, torn)
				r.says("10 m")
				r.hear(3 * unit.Second)
				r.pass(c.hole + period)
				r.late(20, c.lacking)
				r.misses(2, bus.Lost)
				r.hear(5 * unit.Second)
				r.says("")
				d := last[event.RangeMarkData](r)
				assert.Equal(t, c.none, d.NoneNS)
				assert.Equal(t, map[bool]int64{true: 2, false: 0}[c.none == 0], d.Missed, "behind a silence there is no link yet, and behind a late read there is")
				assert.Less(t, d.ForNS, 8*unit.Second+100*unit.Millisecond)
				assert.Len(t, d.Blocks, 3, "blocks begin anew")
			}
		})
	}
}

// One who walks on without a word has the way in the figures.
func TestAMarkThatNobodyLeft(t *testing.T) {
	for _, next := range []func(r *rig){
		func(r *rig) { r.says("20 m") },
		func(r *rig) { r.step(drill.Range, event.StepRepeat) },
		func(r *rig) { r.step(drill.Range, event.StepBack) },
		func(r *rig) { r.step(drill.Range, event.StepAbandon) },
		func(r *rig) {
			r.see(event.Observation{At: r.now, Tap: tap, Kind: event.InputTapDown, Data: []byte("gone")})
		},
	} {
		r := walker(t, false)
		r.says("10 m")
		r.hear(3 * unit.Second)
		next(r)
		d := last[event.RangeMarkData](r)
		assert.True(t, d.Left)
		assert.True(t, d.Way)
		assert.Equal(t, "10 m", d.Mark)
	}
}

// From another terminal, and by the sheet's button.
func TestOtherWaysToSetAMark(t *testing.T) {
	r := walker(t, false)
	mark := func(words string) {
		r.see(event.Observation{At: r.now, Kind: event.InputMark, Data: []byte(words)})
	}
	mark("the wing looks odd")
	mark(event.WalkingMark)
	assert.Zero(t, count[event.RangeMarkData](r))
	mark("30 m")
	r.hear(unit.Second)
	mark(event.WalkingMark)
	d := last[event.RangeMarkData](r)
	assert.Equal(t, "30 m", d.Mark)
	assert.Equal(t, "mark", d.By)
	assert.False(t, d.Way)
	r.hearing.Pressed = true
	r.hear(period)
	r.hearing.Pressed = false
	r.hear(unit.Second)
	r.hearing.Pressed = true
	r.hear(period)
	d = last[event.RangeMarkData](r)
	assert.Equal(t, "button 2", d.Mark)
	assert.Equal(t, "button", d.By)
	assert.True(t, d.Left)
}

// An Enter alone while walking ends it, once it was asked about.
func TestTheEndOfAWalk(t *testing.T) {
	r := walker(t, false)
	r.stays("10 m", 2, 0)
	r.says("")
	assert.Contains(t, last[event.DrillHintData](r).Why, "press Enter again to end the walk")
	r.says("20 m")
	r.says("")
	r.says("")
	assert.Contains(t, last[event.DrillHintData](r).Why, "press Enter again to end the walk", "a mark came between")
	r.says("")
	r.hear(period)
	assert.Equal(t, "finished", last[event.DrillEndedData](r).How)
}

// A mark keeps ten minutes, a walk forty marks.
func TestAWalkIsBounded(t *testing.T) {
	r := walker(t, false)
	r.says("10 m")
	r.hear(602 * unit.Second)
	r.says("")
	d := last[event.RangeMarkData](r)
	assert.Len(t, d.Blocks, 300)
	assert.True(t, d.Full)
	for n := range 39 {
		r.says(fmt.Sprintf("%d m", n))
	}
	r.says("one more")
	assert.Contains(t, last[event.DrillHintData](r).Why, "40 marks at most")
}

// Long stands need patience.
func TestAWalkIsWaitedForLonger(t *testing.T) {
	r := walker(t, false)
	r.says("10 m")
	r.pass(700 * unit.Second)
	assert.Zero(t, count[event.DrillEndedData](r))
	r.pass(30 * unit.Second)
	assert.Equal(t, event.DrillEndedData{How: "timed out", Why: "nothing was answered for 12 minutes"}, last[event.DrillEndedData](r))
}

// A run of missed frames is each mark's own, and what is missed on the way between two is no mark's.
func TestARunOfMissedFramesIsOneMarks(t *testing.T) {
	r := walker(t, false)
	r.says("10 m")
	r.hear(100 * period)
	r.misses(5, bus.Lost)
	r.says("")
	r.misses(200, bus.Lost)
	r.says("20 m")
	r.misses(3, bus.Lost)
	r.hear(100 * period)
	r.says("")
	d := last[event.RangeMarkData](r)
	assert.Equal(t, "20 m", d.Mark)
	assert.Equal(t, [3]int64{3, 1, 3}, [3]int64{d.Missed, d.Runs, d.Longest})
	assert.Equal(t, int64(103), d.Frames)
}

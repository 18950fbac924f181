package session

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// days is a session that is heard for days of simulated time on a disk in memory, step by
// step, while a plan of faults happens to a bus that sends a frame each 20 ms. What was put in
// is counted by hand once the recording has it for good.
//
//	now    |beat|frame|frame| ... |beat|     |resume|beat|frame| ...
//	plan      ----missed---       --------no signal--------
//	given  ======================X killed    ==============
//	count  ===================
type days struct {
	t     testing.TB
	luck  *rand.Rand
	sheet *sheet.Sheet
	disk  *filestest.Disk
	now   int64 // bench time, ns
	skew  int64 // by how much the wall clock is ahead of it
	plan  []happening
	live  *Live
	opt   func(*Options)
	said  []string

	frames [3][servobus.FrameLen]byte // plain, missed, failsafe
	given  []given                    // and perhaps not recorded for good
	next   int64                      // number of the next input that is recorded
	gap    bool                       // the recording has one
	slow   bool                       // the disk takes nothing, and does not say so
	count  count
}

// sent is what a bench does at a moment.
type sent int

const (
	plainFrame sent = iota
	missedFrame
	failsafeFrame
	nothing
	cableOut
	cableIn
	beat
	waited // a plain frame that lay waiting
	gapBegins
	gapEnds
)

// happening has the bench do something else than to send plain frames.
type happening struct {
	is       sent
	from, to int64 // ns, frames in between
}

// given is what was put in, by the number of the input.
type given struct {
	number, at int64
	is         sent
}

const (
	frameEach = 20 * int64(time.Millisecond)
	// takenEach is how often judge loop, recorder and journal writer take what came: more often
	// changes nothing, and costs a picture of the present each time.
	takenEach = 5 * second
	// keptFor is for how long what was put in may still be lost in a power cut.
	keptFor = 3 * takenEach
)

func newDays(t testing.TB, seed uint64, text string) *days {
	t.Helper()
	s, err := sheet.Read("small", []byte(text))
	require.NoError(t, err)
	d := &days{t: t, luck: rand.New(rand.NewPCG(seed, 17)), sheet: s, disk: filestest.New()}
	for i, flags := range []bus.Flags{0, bus.Lost, bus.Lost | bus.Failsafe} {
		f := bus.Frame{Flags: flags}
		for k := range f.Counts {
			f.Counts[k] = 992
		}
		servobus.Encode(&f, d.frames[i][:])
	}
	d.opt = func(o *Options) { o.SheetText = []byte(text) }
	return d
}

// schedule has something happen each few minutes.
func (d *days) schedule(length int64) {
	between := func(least, most time.Duration) int64 {
		return (int64(least) + d.luck.Int64N(int64(most-least))) / frameEach * frameEach
	}
	for at := between(time.Minute, 4*time.Minute); at < length; {
		h := happening{is: sent(1 + d.luck.IntN(4)), from: at}
		switch h.is {
		case missedFrame:
			h.to = at + frameEach*(1+d.luck.Int64N(6))
		case failsafeFrame:
			h.to = at + between(time.Second, 90*time.Second)
		case nothing:
			h.to = at + between(1500*time.Millisecond, 60*time.Second)
			if d.luck.IntN(2) == 0 {
				h.to = at + frameEach*(1+d.luck.Int64N(3)) // the bus leaves out frames
			}
		case cableOut:
			h.to = at + between(time.Second, 60*time.Second)
		}
		d.plan = append(d.plan, h)
		at = h.to + between(30*time.Second, 5*time.Minute)
		if d.luck.IntN(40) == 0 {
			at += int64(40 * time.Minute)
		}
	}
}

// happens is what the bench does at a moment, and whether that begins now or, for a cable, has
// just ended.
func (d *days) happens() (is sent, begins, ended bool) {
	for len(d.plan) > 0 && (d.now > d.plan[0].to || d.now == d.plan[0].to && d.plan[0].is != cableOut) {
		d.plan = d.plan[1:]
	}
	if len(d.plan) == 0 || d.now < d.plan[0].from {
		return plainFrame, false, false
	}
	h := &d.plan[0]
	if d.now == h.to {
		return h.is, false, true
	}
	return h.is, d.now == h.from, false
}

func (d *days) options() Options {
	o := Options{
		Taps: []event.TapName{{Name: "main", Kind: "bus"}}, Build: "test", SheetName: "small",
		Every: 60, Clock: func() int64 { return d.now }, Wall: func() time.Time { return time.Unix(0, wallOfTests+d.now+d.skew) },
		Judge: func() string { return judgeOfTests }, NewIdentity: func() string { return fmt.Sprintf("%032x", d.luck.Uint64()) },
		OpenFolder: func(string) (files.Folder, error) { return d.disk, nil },
	}
	d.opt(&o)
	return o
}

// open opens the session, counts what of the sitting before the recording has, and has
// judgement catch up.
func (d *days) open() {
	d.t.Helper()
	var err error
	d.live, err = Open(context.Background(), d.options())
	require.NoError(d.t, err)
	require.False(d.t, d.live.harmed)
	d.live.Subscribe(Subscriber{Trouble: func(err error) { d.said = append(d.said, err.Error()) }})
	d.keep(d.live.rec.written.Load(), math.MaxInt64)
	d.given = d.given[:0]
	d.count.sitting(int64(d.live.Seq.Now()))
	d.gap = false
	if is, _, ended := d.happens(); is != cableOut || ended {
		d.put(1, event.InputTapUp, []byte(`{"port":"simulated"}`), cableIn)
	}
	d.judge()
}

// keep counts what is recorded for good: what was put in before an input, and up to a moment.
func (d *days) keep(input, before int64) {
	n := 0
	for n < len(d.given) && d.given[n].number < input && d.given[n].at < before {
		d.count.take(&d.given[n])
		n++
	}
	d.given = append(d.given[:0], d.given[n:]...)
}

// put puts something in. What comes while the recording has a gap is not given to it.
func (d *days) put(tap uint8, kind event.InputKind, data []byte, is sent) {
	n, taken := d.live.Seq.Put(tap, kind, data)
	require.True(d.t, taken)
	if !d.gap {
		d.next, d.given = n+1, append(d.given, given{n, int64(d.live.Seq.Now()), is})
	}
}

// lookForGap takes note of where the recording begins to have a gap, and has none any more.
func (d *days) lookForGap() {
	if off := d.live.Seq.RecorderOff(); off != d.gap {
		is := gapEnds
		if d.gap = off; off {
			is = gapBegins
		}
		d.given = append(d.given, given{d.next, int64(d.live.Seq.Now()), is})
		d.next++
	}
}

// run lets the bench play up to a moment, and the session take what came now and then.
func (d *days) run(until int64) {
	for d.nextTick() <= until {
		d.now = d.nextTick()
		d.tick()
		if d.now%takenEach == 0 {
			d.judge()
			d.record()
			d.keep(d.live.rec.written.Load(), int64(d.live.Seq.Now())-keptFor)
		}
		if d.now%(60*second) == 0 {
			d.live.packStep(context.Background())
		}
	}
	d.now = max(d.now, until)
}

func (d *days) nextTick() int64 { return d.now/frameEach*frameEach + frameEach }

// tick is what comes at a moment.
func (d *days) tick() {
	if d.now%second == 0 {
		d.put(event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wallOfTests+d.now+d.skew)), beat)
		d.live.watchdog()
		d.lookForGap()
	}
	switch is, begins, ended := d.happens(); {
	case is == cableOut && begins:
		d.put(1, event.InputTapDown, []byte("unplugged"), cableOut)
	case is == cableOut && ended:
		d.put(1, event.InputTapUp, []byte(`{"port":"simulated"}`), cableIn)
	case is < nothing:
		d.put(1, event.InputBytes, d.frames[is][:], is)
	}
}

// judge has the judge loop take all there is.
func (d *days) judge() {
	rests(d.live.judge.step)
	d.lookForGap()
}

// record has the recorder and the journal writer take all there is, and the disk keep it.
func (d *days) record() {
	if !d.slow {
		rests(d.live.rec.step)
	}
	d.lookForGap()
	rests(d.live.writer.step)
	d.live.syncStep()
}

// rests does steps until they wait for something.
func rests(step func() wait) {
	for {
		if step().what != forNothing {
			return
		}
	}
}

// account is the account as it is now.
func (d *days) account() *state.Account {
	a := d.live.judge.engine.State().Account
	require.NotNil(d.t, a)
	return a
}

// replayed is the account that the recording gives.
func (d *days) replayed() *state.Account {
	e := engine.New(d.sheet, func(*event.Event, int64) {})
	r, err := recording.OpenSegments(d.disk)
	require.NoError(d.t, err)
	require.NoError(d.t, engine.Run(r, e, nil))
	require.Empty(d.t, r.Damages())
	require.NoError(d.t, r.Close())
	return e.State().Account
}

// end ends the session as Run does; it counts all that was put in.
func (d *days) end() {
	d.live.Seq.Close(event.InputEnd)
	d.live.rec.close()
	rests(d.live.judge.step)
	rests(d.live.rec.step)
	d.live.finishWriting()
	rests(d.live.writer.step)
	require.NoError(d.t, d.live.judge.err)
	require.NoError(d.t, d.live.close())
	d.keep(d.live.rec.written.Load(), math.MaxInt64)
	d.count.passes(int64(d.live.Seq.Now()))
}

package monitor_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// soakHour is a long run in which each of ten faults happens once: where, and for how long, by a
// seed. The script's own count of them is held against the account.
//
//	|--fault--|--fault--|--fault--| ... each in a tenth of the time, in any order
type soakHour struct {
	rng    *rand.Rand
	length time.Duration
	after  time.Duration // how long the bus goes on behind that
	script *script.Script
	stall  [2]time.Duration   // when the computer reads nothing
	busy   [][2]time.Duration // and when it is so busy that it does not either
	damage time.Duration      // the next frame to begin behind that is hit
	clump  time.Duration
	within unit.Duration // of the sheet: a run of missed frames as long is a loss
	real   bool          // nobody simulates the stall: the program is made to stand still
	text   string
}

// mostFault is how long a fault and what it takes to be over last at most.
const mostFault = 12 * time.Second

func newSoakHour(t testing.TB, seed uint64, length, fault time.Duration) *soakHour {
	h := unwrittenHour(t, seed, length)
	h.write(t, fault)
	return h
}

func unwrittenHour(t testing.TB, seed uint64, length time.Duration) *soakHour {
	return &soakHour{rng: rand.New(rand.NewPCG(seed, 17)), length: length, within: starter(t).Failsafe.Within}
}

// write makes the script.
func (h *soakHour) write(t testing.TB, fault time.Duration) {
	var b bytes.Buffer
	b.WriteString(model)
	receiver := one(h.rng, "preset", "preset", "hold", "preset flagged 1s..2s", "hold flags lost", "preset flags failsafe")
	regain := between(h.rng, 150, 900)
	if strings.HasSuffix(receiver, "lost") { // else it sends neutral without a flag, from which many channels leap
		receiver, regain = receiver+" early none", 0
	}
	fmt.Fprintf(&b, "packets every %dms\nreceiver main %s wakes neutral period %dms regain %dms\n",
		one(h.rng, 7, 9, 11), receiver, one(h.rng, 9, 11, 14, 22), regain)
	if receiver[0] == 'p' {
		b.WriteString(presets)
	}
	if h.clump = time.Duration(one(h.rng, 0, 0, 1, 16)) * time.Millisecond; h.clump > 0 {
		fmt.Fprintf(&b, "adapter main clump %v\n", h.clump)
	}
	if h.rng.IntN(2) == 0 {
		fmt.Fprintf(&b, "link main loss %s burst %d\n", one(h.rng, "0.01%", "0.1%", "0.5%"), between(h.rng, 1, 4))
	}
	if h.rng.IntN(3) == 0 {
		b.WriteString("wire main missing 0.01%\n")
	}
	b.WriteString("0s signal on\n")
	h.faults(&b, fault)
	fmt.Fprintf(&b, "%v end\n", h.length+h.after)
	h.text = b.String()
	var err error
	h.script, err = script.Parse("hour", b.Bytes())
	require.NoError(t, err, h.text)
}

// faults puts each fault somewhere into its tenth, but for some seconds at either end.
func (h *soakHour) faults(b *bytes.Buffer, longest time.Duration) {
	slot, millis := h.length/10, func(from, to time.Duration) time.Duration {
		return time.Duration(between(h.rng, int(from.Milliseconds()), int(to.Milliseconds()))) * time.Millisecond
	}
	for i, fault := range h.rng.Perm(10) {
		at := time.Duration(i)*slot + 2*time.Second + millis(0, slot-longest)
		say := func(format string, args ...any) { fmt.Fprintf(b, "%v "+format+"\n", append([]any{at}, args...)...) }
		lasts := millis(max(longest/6, 2*time.Second), max(longest/3, 2500*time.Millisecond))
		then := func(format string, args ...any) { at += lasts; say(format, args...) }
		switch fault {
		case 0:
			say("garble main %d frames flags lost", between(h.rng, 1, 3))
		case 1:
			say("signal off main")
			then("signal on main")
		case 2:
			say("mute main for %v", millis(700*time.Millisecond, longest/3))
		case 3:
			say("mute main for %v", millis(20*time.Millisecond, 60*time.Millisecond))
		case 4:
			h.damage = at
		case 5:
			say("power main off")
			then("power main on")
		case 6:
			say("unplug main")
			then("plug main")
		case 7:
			lasts = millis(400*time.Millisecond, 1200*time.Millisecond)
			h.stalls(b, at, lasts)
		case 8:
			say("garble main %d frames aileron %d", between(h.rng, 1, 3), one(h.rng, 988, 2012))
		case 9:
			say("signal off main")
			lasts = millis(30*time.Millisecond, 300*time.Millisecond)
			then("signal on main")
		}
	}
}

// stalls has nobody read for a while.
func (h *soakHour) stalls(b *bytes.Buffer, at, lasts time.Duration) {
	h.stall = [2]time.Duration{at, at + lasts}
	if !h.real {
		fmt.Fprintf(b, "%v stall for %v\n", at, lasts)
	}
}

// heardFrame is a frame of the bench as it came to the computer.
type heardFrame struct {
	world.Frame
	whole bool // all of it came, undamaged
	cable bool // the cable was pulled before it
	late  bool // nobody read when it was due
}

// listened is what came of each character.
type listened struct {
	at      []int64 // handed over
	late    []bool  // nobody read when it came
	spoiled map[int]bool
	since   []plugged
}

// plugged is where a stretch between two moves of the plug begins.
type plugged struct{ at, chars int64 }

// hear has an engine hear the hour, and keeps what came.
func (h *soakHour) hear(seed uint64, step func(*event.Input)) (*world.Sim, *listened) {
	sim := world.New(&h.script.Plan, seed)
	sim.KeepTruth = true
	l := &listened{spoiled: map[int]bool{}, since: []plugged{{}}}
	s := &sitting{unread: append(slices.Clone(h.busy), h.stall)}
	slices.SortFunc(s.unread, func(a, b [2]time.Duration) int { return int(a[0] - b[0]) })
	begins := begin("main")
	step(&begins)
	up := []byte(`{"port":"simulated"}`)
	step(&event.Input{Tap: 1, Kind: event.InputTapUp, Data: up})
	beat := unit.Second
	until := func(at unit.Duration) {
		for ; beat <= at; beat = s.awake(beat/unit.Second*unit.Second + unit.Second) {
			step(&event.Input{At: unit.Time(beat), Kind: event.InputBeat, Data: wallAt(beat)})
		}
	}
	for d, ok := sim.Next(); ok && d.At <= int64(h.length); d, ok = sim.Next() {
		at := unit.Duration(d.At) / 1000 * 1000
		until(at)
		in := event.Input{At: unit.Time(at), Tap: 1, Kind: event.InputBytes, Data: d.Data}
		switch d.Kind {
		case world.Unplugged:
			in.Kind, in.Data = event.InputTapDown, []byte("gone")
			l.since = append(l.since, plugged{d.At, int64(len(l.at))})
		case world.Plugged:
			in.Kind, in.Data = event.InputTapUp, up
			l.since = append(l.since, plugged{d.At, int64(len(l.at))})
		default:
			if h.hit(&d) {
				in.Kind = event.InputBadBytes
			}
			for range d.Data {
				if in.Kind == event.InputBadBytes {
					l.spoiled[len(l.at)] = true
				}
				l.at = append(l.at, d.At)
				l.late = append(l.late, d.At == int64(h.stall[1]))
			}
		}
		step(&in)
	}
	until(unit.Duration(h.length))
	step(&event.Input{At: unit.Time(h.length), Kind: event.InputEnd})
	return sim, l
}

// hit spoils the first delivery behind the moment that has a frame's first character.
func (h *soakHour) hit(d *world.Delivery) bool {
	i := bytes.IndexByte(d.Data, 0x0F)
	if d.At < int64(h.damage) || h.damage == 0 || i < 0 {
		return false
	}
	d.Data[i], h.damage = 0x4F, 0
	return true
}

const charTime = 120_000 // ns, of twelve bits at 100 kHz

// frames are those that were sent, and what came of them.
func (h *soakHour) frames(sim *world.Sim, l *listened) (list []heardFrame) {
	plain := sim.Frames(0)
	pulled := false
	for k, from := range l.since {
		end, chars := int64(world.Never), int64(len(l.at))
		if k+1 < len(l.since) {
			end, chars = l.since[k+1].at, l.since[k+1].chars
		}
		next := from.chars
		for len(plain) > 0 && plain[0].At < end {
			f := heardFrame{Frame: plain[0], whole: k%2 == 0, cable: pulled}
			next = l.characters(&f, k%2 == 0, from.at, next, chars)
			pulled = k%2 == 1 || pulled && !f.whole
			list, plain = append(list, f), plain[1:]
		}
	}
	return list
}

// characters says what came of those of a frame, heard from an instant on while the plug was in.
// next and end are numbers of those that were delivered.
func (l *listened) characters(f *heardFrame, in bool, from, next, end int64) int64 {
	for c := range int64(servobus.FrameLen) {
		at := f.At - (servobus.FrameLen-1-c)*charTime
		if !in || at < from || next == end {
			f.whole = false
			continue
		}
		f.whole = f.whole && !l.spoiled[int(next)]
		f.late = f.late || l.late[next]
		next++
	}
	return next
}

// count is the script's own: by what the bench really sent and what came of it, by no event.
type count struct {
	state.TapAccount

	period, limit int64 // of the bus, and how long no frame comes until that is a silence, ns
	within        unit.Duration
	live          bool // there is a link, since four plain frames in a row,
	linked        bool // and was one
	plains        int
	run, failed   int64 // of missed frames, and of these with the failsafe flag
	first, last   int64
	flags         int // failsafe flags in a row
	before        *heardFrame
	came          int // frames since the one before, which did not come whole
	spans         []span
	unsure        int64 // outages in which the computer read late, so that nobody watched all of them
}

// span is an outage.
type span struct{ from, to int64 }

func (h *soakHour) counted(sim *world.Sim, l *listened) *count {
	c := &count{period: h.script.Receivers[0].Period, within: h.within}
	c.limit = max(5*c.period, int64(100*time.Millisecond)) + 2*int64(h.clump)
	frames := h.frames(sim, l)
	for i := range frames {
		f := &frames[i]
		switch {
		case !f.whole:
			c.came++
			continue
		case f.late:
			c.before = nil
			continue
		case f.cable || c.before == nil:
			c.live, c.plains, c.run, c.flags = c.live && !f.cable, 0, 0, 0
		default:
			c.hole(f)
		}
		c.frame(f)
		c.before, c.came = f, 0
	}
	c.DamageRuns, c.Spikes, c.Late, c.Unplugs = 1, 1, 1, 1
	c.outages(sim, frames)
	return c
}

// hole takes the time since the frame before: a gap, a silence, or nothing.
func (c *count) hole(f *heardFrame) {
	passed := f.At - c.before.At
	if passed > c.limit {
		c.Silences++
	} else {
		c.GapFrames += max(0, (passed+c.period/2)/c.period-1-int64(c.came))
	}
	if passed > int64(100*time.Millisecond) {
		c.live = c.live && c.run == 0 && passed <= int64(300*time.Millisecond)
		c.plains, c.run, c.flags = 0, 0, 0
	}
}

// frame takes the next frame. A run of missed ones that has the failsafe flag, or lasts as
// long as a failsafe takes, is a loss.
func (c *count) frame(f *heardFrame) {
	good := plain(&f.Frame)
	if c.plains++; !good {
		c.plains = 0
	}
	c.flag(f.Frame.Frame.Failsafe())
	switch {
	case !c.live:
	case !good:
		c.miss(f)
	case c.run > 0 && (c.failed >= 4 || c.last-c.first >= int64(c.within)):
		c.live, c.plains, c.run = false, 1, 0
	default:
		c.Frames += c.run + 1
		if c.run > 0 {
			c.Missed += c.run
			c.MissedRuns++
			c.LongestRun = max(c.LongestRun, c.run)
		}
		c.run = 0
	}
	c.live = c.live || c.plains >= 4
	c.linked = c.linked || c.live
}

// flag counts a failsafe with its fourth frame in a row.
func (c *count) flag(failsafe bool) {
	if c.flags++; !failsafe {
		c.flags = 0
	} else if c.flags == 4 && c.linked {
		c.Failsafes++
	}
}

func (c *count) miss(f *heardFrame) {
	if c.run == 0 {
		c.first, c.failed = f.At, 0
	}
	c.run++
	c.last = f.At
	if f.Frame.Frame.Failsafe() {
		c.failed++
	}
}

// outages are what the script made of them: the signal gone, no frames for a second, a
// receiver without power, which only its flags show behind the silence.
func (c *count) outages(sim *world.Sim, frames []heardFrame) {
	truths := sim.Truth()
	for i, x := range truths {
		back := ends(truths[i:])
		if cause := causeOf(&x, back, truths, frames); cause >= 0 {
			c.Causes[cause]++
			c.Outages++
			c.spans = append(c.spans, span{x.At, back})
		}
	}
}

// causeOf is what an outage is taken for that ends at an instant, by the place among
// state.OutageCauses; -1: it is none.
func causeOf(x *world.Truth, back int64, truths []world.Truth, frames []heardFrame) int {
	long := back-x.At >= int64(time.Second)
	switch x.Kind + " " + x.To {
	case "signal off":
		if long && x.About == "main" {
			return 0
		}
	case "bus silent":
		if long && !poweredWithin(truths, x.At, back) {
			return 2
		}
	case "power off":
		k := slices.IndexFunc(frames, func(f heardFrame) bool { return f.At > back && f.whole })
		if plain(&frames[k].Frame) { // nothing shows it
			return 2
		}
		return 3
	}
	return -1
}

// ends is when the first of some truths is over: when it is "on" or "back" again.
func ends(truths []world.Truth) int64 {
	x := truths[0]
	k := slices.IndexFunc(truths, func(y world.Truth) bool {
		return y.Kind == x.Kind && y.About == x.About && (y.To == "on" || y.To == "back")
	})
	if k < 0 {
		return x.At
	}
	return truths[k].At
}

// poweredWithin reports that a receiver lost its power or got it back in a time.
func poweredWithin(truths []world.Truth, from, to int64) bool {
	return slices.ContainsFunc(truths, func(y world.Truth) bool { return y.Kind == "power" && y.At >= from && y.At < to })
}

// occasions are the runs of outages half an hour apart, at least and at most: seconds of it
// were perhaps not watched.
func (c *count) occasions() (least, most int64) {
	slices.SortFunc(c.spans, func(a, b span) int { return int(a.from - b.from) })
	for i := range c.spans {
		quiet := int64(time.Hour)
		if i > 0 {
			quiet = c.spans[i].from - c.spans[i-1].to
		}
		if quiet > int64(30*time.Minute+20*time.Second) {
			least++
		}
		if quiet > int64(30*time.Minute-20*time.Second) {
			most++
		}
	}
	return least, most
}

// unsureFrames are at most as many of those that were read late as are taken for frames on time, until
// it shows that too many came at once; and the four that make a link behind them.
const unsureFrames = 20

// unsureGap is how many frames look left out behind a hiccup, at most, though the bus sent them: where a
// computer goes on reading late for longer than a gap waits for frames that come after all.
const unsureGap = 6

// requireAccount holds an account to the script's count. Where a busy computer read late beside the
// script's stall, in so many hiccups, the script can't tell which of these frames were judged: so it counts
// twice, without them and with them, and what hangs on single frames is between the two.
func (h *soakHour) requireAccount(t *testing.T, without, with *count, hiccups int64, a *state.Account) {
	want, got := &without.TapAccount, &a.Taps[0]
	between := func(x, y, got int64, what string) {
		assert.GreaterOrEqual(t, got, min(x, y), what)
		assert.LessOrEqual(t, got, max(x, y), what)
	}
	between(want.Frames-unsureFrames*hiccups, max(want.Frames, with.Frames)+unsureFrames*(1+hiccups), got.Frames, "frames")
	between(want.Missed, with.Missed, got.Missed, "missed")
	between(want.MissedRuns, with.MissedRuns, got.MissedRuns, "runs")
	between(want.LongestRun, with.LongestRun, got.LongestRun, "longest run")
	between(want.GapFrames, max(want.GapFrames, with.GapFrames)+unsureGap*hiccups, got.GapFrames, "gaps")
	between(want.Failsafes, with.Failsafes, got.Failsafes, "failsafes")
	between(want.Silences, want.Silences+hiccups, got.Silences, "silences")
	between(want.Late, want.Late+hiccups, got.Late, "late")
	for _, x := range []struct {
		what      string
		want, got any
	}{
		{"damage", want.DamageRuns, got.DamageRuns}, {"spikes", want.Spikes, got.Spikes}, {"unplugs", want.Unplugs, got.Unplugs},
		{"outage under way", unit.Time(-1), got.GoneSinceNS},
	} {
		assert.Equal(t, x.want, x.got, x.what)
	}
	between(want.Outages-without.unsure, want.Outages, got.Outages, "outages")
	if without.unsure == 0 {
		assert.Equal(t, want.Causes, got.Causes, "causes")
		assert.Equal(t, want.Causes[3], got.Restarts, "restarts")
		least, most := without.occasions()
		between(least, most, got.Occasions, "occasions")
	}
	assert.Equal(t, a.UntilNS.Sub(a.SinceNS), a.StalledNS+got.LiveNS+got.OutageNS+got.WaitingNS+got.UnpluggedNS, "the times add up")
}

// An hour with ten faults: the account has what the script did, to the frame.
func TestTheAccountOfAnHourWithFaults(t *testing.T) {
	for _, seed := range seedsFrom(t, 0, 3) {
		t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
			t.Parallel()
			h := newSoakHour(t, seed, time.Hour, mostFault)
			var said strings.Builder
			e := engine.New(starter(t), func(e *event.Event, _ int64) {
				if e.Kind != event.AirMissed && e.Kind != event.VerdictChanged {
					fmt.Fprintf(&said, "%9.3f %9.3f %s\n", float64(e.At)/1e9, float64(e.From)/1e9, event.Sentence(e))
				}
			})
			sim, l := h.hear(seed, e.Step)
			a := e.State().Account
			require.NotNil(t, a)
			c := h.counted(sim, l)
			h.requireAccount(t, c, c, 0, a)
			if t.Failed() {
				t.Log(h.text[len(model):], said.String())
			}
		})
	}
}

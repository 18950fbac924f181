package session

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

const minuteLong = 60 * second

// full has the disk refuse up to a moment.
func (d *days) full(until int64) {
	d.disk.Before = func(c filestest.Call) error {
		if d.now < until && (c.Op == "write" || c.Op == "create") {
			return errFull
		}
		return nil
	}
}

// hang has the next write of the recording take until a moment. What comes meanwhile is heard and judged.
func (d *days) hang(until int64) {
	d.disk.Before = func(c filestest.Call) error {
		if c.Op != "write" || c.Name != RecordingFile {
			return nil
		}
		d.disk.Before = nil
		for d.nextTick() <= until {
			d.now = d.nextTick()
			d.tick()
			if d.now%takenEach == 0 {
				d.judge()
			}
		}
		return nil
	}
}

// What a disk does leaves the account unharmed: it counts on, what was not recorded is said,
// and afterwards the account is that of the recording.
func TestTheAccountOverADiskWithFaults(t *testing.T) {
	for name, c := range map[string]struct {
		harm, mend func(d *days)
		says       string
		killed     bool // in the gap
		lasts      int64
	}{
		// The last one until 32 MiB wait.
		"full":                  {func(d *days) { d.full(d.now + 15*minuteLong) }, nil, "no room", false, 15 * minuteLong},
		"full, and killed":      {func(d *days) { d.full(d.now + 15*minuteLong) }, nil, "no room", true, 15 * minuteLong},
		"hangs":                 {func(d *days) { d.hang(d.now + 10*minuteLong) }, nil, "has not answered for 2 s", false, 10 * minuteLong},
		"takes less than comes": {func(d *days) { d.slow = true }, func(d *days) { d.slow = false }, "slower than what comes in", false, 215 * minuteLong},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDays(t, 3, smallSheet)
			d.schedule(6 * 60 * minuteLong)
			d.open()
			d.run(20 * minuteLong)
			before := d.account()
			c.harm(d)
			d.run(20*minuteLong + c.lasts - 5*second)
			during := d.account()
			require.True(t, d.gap)
			requireTimesAddUp(t, during, "in the gap")
			assert.Greater(t, during.Taps[0].LiveNS, before.Taps[0].LiveNS+unit.Duration(c.lasts/2), "it counts on")
			assert.Contains(t, strings.Join(d.said, "\n"), c.says)
			if c.killed {
				d.live.Seq.Close(0)
				_ = d.disk.Close()
				d.disk.Before = nil
				d.open()
				d.count.requireAccount(t, d.account(), "behind the kill")
			} else if c.mend != nil {
				c.mend(d)
			}
			d.run(d.now + 20*minuteLong)
			require.False(t, d.gap)
			d.end()
			d.count.requireAccount(t, d.account(), "at the end")
			assert.Equal(t, d.account(), d.replayed())
			assert.Equal(t, c.killed, d.count.unrecorded == 0)
			assert.Positive(t, d.count.Outages)
		})
	}
}

// A cable that is pulled is told from a receiver that lost its power, began anew or lost the signal.
func TestTheAccountOfAHundredUnplugs(t *testing.T) {
	d := newDays(t, 4, smallSheet)
	at := minuteLong
	between := func(least, most time.Duration) int64 {
		return (int64(least) + d.luck.Int64N(int64(most-least))) / frameEach * frameEach
	}
	then := func(is sent, lasts int64) {
		d.plan = append(d.plan, happening{is, at, at + lasts})
		at += lasts
	}
	for n := range 100 {
		switch n % 4 {
		case 1:
			then(nothing, between(1500*time.Millisecond, 20*time.Second)) // without power
		case 2:
			then(nothing, between(1500*time.Millisecond, 20*time.Second)) // and it begins anew
			then(failsafeFrame, between(200*time.Millisecond, 5*time.Second))
		case 3:
			then(failsafeFrame, between(time.Second, 20*time.Second))
		}
		at += between(5*time.Second, 9*time.Second)
		if n%3 == 0 {
			then(nothing, between(20*time.Millisecond, 4*time.Second)) // the adapter is dead before its port goes
		}
		then(cableOut, between(20*time.Millisecond, 15*time.Second))
		at += between(5*time.Second, 9*time.Second)
	}
	d.open()
	d.run(at)
	d.end()
	d.count.requireAccount(t, d.account(), "at the end")
	assert.Equal(t, d.account(), d.replayed())
	got := d.account().Taps[0]
	assert.EqualValues(t, 100, got.Unplugs)
	assert.Equal(t, [4]int64{25, 0, 25, 25}, got.Causes)
	assert.EqualValues(t, 25, got.Restarts)
}

// The wall clock says nothing of how long was watched: it may be set while the program runs, and between two sittings.
func TestTheAccountUnderAWallClockThatIsSet(t *testing.T) {
	account := func(skews ...time.Duration) *days {
		d := newDays(t, 5, smallSheet)
		d.schedule(60 * minuteLong)
		d.open()
		for n := range 6 {
			if len(skews) > 0 {
				d.skew = int64(skews[n%len(skews)])
			}
			d.run(int64(n+1) * 5 * minuteLong)
		}
		return d
	}
	plain, set := account(), account(5*time.Hour, -26*time.Hour, time.Second, -200*time.Millisecond)
	steps := set.account()
	assert.Len(t, steps.Clock, 6, "each is told, with its date")
	assert.EqualValues(t, 6, steps.ClockSteps)
	steps.Clock, steps.ClockSteps = []state.ClockStep{}, 0
	assert.Equal(t, plain.account(), steps, "and changes nothing else")
	for _, skew := range []time.Duration{-24 * time.Hour, 3 * time.Hour, 0} {
		for _, d := range []*days{plain, set} {
			d.live.Seq.Close(0)
			_ = d.disk.Close()
			d.now += minuteLong
			if d == set {
				d.skew = int64(skew)
			}
			d.open()
			d.count.requireAccount(t, d.account(), "behind "+skew.String())
			d.run(d.now + 5*minuteLong)
		}
		a, b := plain.account(), set.account()
		assert.Equal(t, a.Taps[0].LiveNS, b.Taps[0].LiveNS)
		assert.Equal(t, a.Taps[0].OneInHours, b.Taps[0].OneInHours)
		assert.Equal(t, a.Taps[0].Outages, b.Taps[0].Outages)
	}
	set.end()
	set.count.requireAccount(t, set.account(), "at the end")
	assert.Equal(t, set.account(), set.replayed())
}

// A computer that sleeps, or a program that is stopped for a while, watched nothing meanwhile:
// neither for nor against the receiver.
func TestTheAccountOfAComputerThatSleeps(t *testing.T) {
	const naps = 4
	for name, wakes := range map[string]func(d *days){
		"and hears frames first": func(*days) {},
		"and beats first": func(d *days) {
			d.now = (d.now/second + 1) * second
			d.tick()
		},
		"and reads what lay waiting": func(d *days) {
			for range 60 {
				d.put(1, event.InputBytes, d.frames[plainFrame][:], waited)
			}
		},
		"and finds the port gone": func(d *days) {
			d.put(1, event.InputTapDown, []byte("gone"), cableOut)
			d.now += second
			d.put(1, event.InputTapUp, []byte(`{"port":"simulated"}`), cableIn)
		},
	} {
		for _, sleeps := range []time.Duration{8 * time.Hour, time.Minute, 5 * time.Second} {
			t.Run(name+" behind "+sleeps.String(), func(t *testing.T) {
				d := newDays(t, 6, smallSheet)
				d.open()
				for n := range int64(naps) {
					d.run(d.now + 90*second + n*137*int64(time.Millisecond))
					d.judge()
					before := d.account().Taps[0]
					d.now += int64(sleeps)
					wakes(d)
					d.judge()
					assert.LessOrEqual(t, d.account().Taps[0].LiveNS, before.LiveNS+unit.Second)
					d.run(d.now + 20*second)
				}
				d.end()
				a := d.account()
				requireTimesAddUp(t, a, "at the end")
				assert.Zero(t, a.Taps[0].Outages)
				assert.Zero(t, a.Taps[0].Silences)
				assert.EqualValues(t, -1, a.Taps[0].GoneSinceNS)
				assert.InDelta(t, naps*sleeps.Seconds(), float64(a.StalledNS)/1e9, 2*naps)
				assert.Equal(t, a, d.replayed())
			})
		}
	}
}

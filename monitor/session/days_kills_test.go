package session

import (
	"errors"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files/filestest"
)

// killsOfDays is how often a long run is killed, and how far that is apart on average: 20 times
// in hours, or as often as BENCHPROOF_SEEDS says; 200 are a week.
func killsOfDays(t *testing.T) (n, apart int64) {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 20, int64(15 * time.Minute)
	}
	n, err := strconv.ParseInt(text, 10, 64)
	require.NoError(t, err)
	return max(20, n), int64(7*24*time.Hour) / 200
}

var errKilled = errors.New("killed")

// kill ends the program somewhere in what it does, or the power. What was written before is
// there, of the write under way perhaps a part; of the power cut's what was synced.
func (d *days) kill() {
	steps := []func() wait{d.live.judge.step, d.live.rec.step, d.live.writer.step}
	for range d.luck.IntN(100) {
		steps[d.luck.IntN(len(steps))]()
	}
	if d.luck.IntN(2) == 0 {
		d.disk = d.disk.PowerCut(d.luck)
	} else {
		d.disk.Takes = d.luck.IntN(500)
		d.disk.Before = func(c filestest.Call) error {
			if c.Op == "write" { // the first: behind it nothing comes any more
				d.disk.Before = func(filestest.Call) error { d.disk.Takes = 0; return errKilled }
			}
			return errKilled
		}
		d.live.rec.step()
		d.live.writer.step()
		d.disk.Before, d.disk.Takes = nil, 0
		_ = d.disk.Close() // its locks go with a process
	}
	d.live.Seq.Close(0)
}

// nextKill is a moment before a limit, as often as not in a fault.
func (d *days) nextKill(limit int64) int64 {
	at := d.now + d.luck.Int64N(max(1, limit-d.now))
	for i := range d.plan {
		if h := &d.plan[i]; h.from >= at && h.to < limit && d.luck.IntN(2) == 0 {
			return h.from + d.luck.Int64N(h.to-h.from+2*second)
		}
	}
	return at
}

// A long run that is killed again and again: behind each kill the account has what the
// recording has, each fault that was watched once; the rest is not watched.
func TestTheAccountOfARunThatIsKilled(t *testing.T) {
	kills, apart := killsOfDays(t)
	length := kills * apart
	d := newDays(t, 1, smallSheet)
	d.schedule(length)
	unseen := int64(0)
	d.open()
	for n := range kills {
		d.run(d.nextKill((n + 1) * apart))
		d.kill()
		d.now = (d.now + int64(500*time.Millisecond) + d.luck.Int64N(int64(5*time.Minute))) / 1000 * 1000 // dates are whole microseconds
		d.open()
		d.count.requireAccount(t, d.account(), "behind kill "+strconv.FormatInt(n+1, 10))
		require.False(t, t.Failed())
		if d.count.gone.open {
			unseen++
		}
	}
	d.run(max(d.now, length) + 10*second)
	d.end()
	d.count.requireAccount(t, d.account(), "at the end")
	assert.Equal(t, d.account(), d.replayed())
	t.Logf("%d kills in %v, %v of it not watched, in outages: %d; outages: %d, the bus left out %d frames, missed %d, unplugged %d times",
		kills, time.Duration(length), time.Duration(d.count.stopped), unseen, d.count.Outages, d.count.GapFrames, d.count.Missed, d.count.Unplugs)
	assert.Greater(t, d.count.Outages, kills)
	assert.Greater(t, unseen, kills/10)
}

package session

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// count is what the recording of some days has, counted by hand from what was put in: by no
// event, and by no date but that of the input.
type count struct {
	state.TapAccount

	until      int64 // what comes from here on is the next piece of time
	last       int64 // date of the latest frame since the port came up, 0: none came
	up, linked bool
	plains     int   // frames in a row
	failed     int   // frames with the failsafe flag in a row
	run        int64 // missed frames of a live link in a row
	doubt      int   // frames to come that belong to the end of a loss: values are seen three frames late
	shows      int64 // date of the first beat behind which a silence is known, 0: none
	silent     bool  // that is counted
	gone       outageUnderWay
	borders    int64 // of stretches of a live link
	linkedFor  int64 // ns in them, from frame to frame
	heard      int64 // date of the latest input
	stopped    int64
	stalled    int64
	unrecorded int64
	unplugged  int64
	spans      [][2]int64
}

// outageUnderWay is an outage that is not over.
type outageUnderWay struct {
	open  bool
	from  int64
	left  int64 // nobody watched any more, 0: it is watched
	cause int   // place among state.OutageCauses
}

// What shows an outage.
const (
	byFlag    = 0
	bySilence = 2
	byRestart = 3
)

// silenceAfter is how long no frame comes until that is a silence.
const silenceAfter = int64(100 * time.Millisecond)

// mostBeat is how far beats, which come each second, are apart at most while somebody listens.
const mostBeat = int64(2500 * time.Millisecond)

// sitting begins one at a moment.
func (c *count) sitting(at int64) {
	c.stopped += at - c.until
	c.afresh(at)
	c.up = false
}

// afresh goes on where nobody knows what was before.
func (c *count) afresh(at int64) {
	if c.gone.open && c.gone.left == 0 {
		c.gone.left = c.until
	}
	c.until, c.heard, c.last, c.shows, c.silent = at, at, 0, 0, false
	c.unlink()
}

func (c *count) unlink() {
	if c.linked {
		c.borders++
	}
	c.linked, c.plains, c.failed, c.run, c.doubt = false, 0, 0, 0, 0
}

func (c *count) take(g *given) {
	switch g.is {
	case gapBegins:
		c.passes(g.at)
		c.afresh(g.at)
	case gapEnds:
		c.unrecorded += g.at - c.until
		c.afresh(g.at)
	case cableOut:
		c.known(g.at)
		c.passes(g.at)
		c.up, c.last, c.shows, c.silent = false, 0, 0, false
		c.Unplugs++
		if c.gone.open && c.gone.cause == bySilence && g.at-c.gone.from <= int64(5*time.Second) { // it was the cable
			c.gone = outageUnderWay{}
		}
		if c.gone.open && c.gone.left == 0 {
			c.gone.left = g.at
		}
		c.unlink()
	case cableIn:
		c.passes(g.at)
		c.up, c.last, c.shows = true, 0, 0
	case beat:
		c.beat(g.at)
	default:
		c.frame(g.is, g.at)
	}
}

// passes has time go on to a moment.
func (c *count) passes(at int64) {
	switch passed := at - c.until; {
	case passed > mostBeat:
		c.stalled += passed
	case !c.up:
		c.unplugged += passed
	}
	c.until, c.heard = at, at
}

// beat takes one. A first one behind a silence's limit makes it known: to the next input that
// does not come within what a computer takes to read what lay waiting.
func (c *count) beat(at int64) {
	c.known(at)
	c.passes(at)
	if c.shows == 0 && c.up && c.last != 0 && at-c.last > silenceAfter {
		c.shows = at
	}
}

// known counts a silence with the input that has it known.
func (c *count) known(at int64) {
	if c.shows == 0 || c.silent || at-c.shows <= int64(200*time.Millisecond) || at-c.heard > mostBeat {
		return
	}
	c.Silences++
	c.silent = true
	if at-c.last >= second {
		c.goes(c.last, bySilence)
	}
	c.unlink()
}

func (c *count) goes(from int64, cause int) {
	if !c.gone.open {
		c.gone = outageUnderWay{open: true, from: from, cause: cause}
	}
}

// frame takes one. The fourth plain one in a row makes a link, and is where an outage is over.
func (c *count) frame(is sent, at int64) {
	c.hole(at)
	c.up = true // it was put in, perhaps in a gap of the recording
	c.shows, c.silent = 0, false
	switch {
	case is == plainFrame:
		c.plain(at)
	case c.linked:
		c.miss(is, at)
	default:
		c.startsUp(is)
	}
	c.last, c.heard = at, at
}

func (c *count) hole(at int64) {
	passed := at - c.last
	switch {
	case c.last == 0:
	case at-c.heard > mostBeat: // nobody listened
		c.unlink()
	case passed <= silenceAfter:
		c.GapFrames += passed/frameEach - 1
		if c.linked {
			c.linkedFor += passed
		}
	default:
		if !c.silent {
			c.Silences++
			if passed >= second {
				c.goes(c.last, bySilence)
			}
		}
		c.unlink()
	}
}

func (c *count) plain(at int64) {
	c.plains++
	c.failed = 0
	switch {
	case c.linked && c.doubt > 0:
		c.doubt--
	case c.linked:
		c.Frames += c.run + 1
		if c.run > 0 {
			c.Missed += c.run
			c.MissedRuns++
			c.LongestRun = max(c.LongestRun, c.run)
		}
		c.run = 0
	case c.plains == 4:
		c.linked = true
		c.borders++
		c.back(at)
	}
}

func (c *count) back(at int64) {
	if !c.gone.open {
		return
	}
	g := c.gone
	c.gone = outageUnderWay{}
	to := at
	if g.left != 0 {
		to = g.left
	} else if g.cause == byFlag {
		c.doubt = 3
	}
	c.Outages++
	c.Causes[g.cause]++
	c.spans = append(c.spans, [2]int64{g.from, to})
	c.until = at
}

// miss takes a frame of a link that is missed. Four with the failsafe flag are a loss.
func (c *count) miss(is sent, at int64) {
	c.plains = 0
	c.run++
	if c.failed++; is != failsafeFrame {
		c.failed = 0
	}
	if c.failed == 4 {
		c.Failsafes++
		c.goes(at-3*frameEach, byFlag)
		c.unlink()
	}
}

// startsUp takes a missed frame of no link. Behind a silence it is a receiver that began anew.
func (c *count) startsUp(is sent) {
	c.plains = 0
	if !c.gone.open || c.gone.left != 0 || c.gone.cause == byFlag {
		return
	}
	c.gone.cause = byRestart
	if c.failed++; is != failsafeFrame {
		c.failed = 0
	}
	if c.failed == 4 {
		c.Failsafes++
	}
}

// occasions are the runs of outages half an hour apart, at least and at most: seconds of it
// were perhaps not watched.
func (c *count) occasions() (least, most int64) {
	for i := range c.spans {
		quiet := int64(time.Hour)
		if i > 0 {
			quiet = c.spans[i][0] - c.spans[i-1][1]
		}
		if quiet > int64(30*time.Minute+5*time.Second) {
			least++
		}
		if quiet > int64(30*time.Minute-5*time.Second) {
			most++
		}
	}
	return least, most
}

// requireAccount holds an account to the count.
func (c *count) requireAccount(t *testing.T, a *state.Account, when string) {
	t.Helper()
	got := &a.Taps[0]
	gone := unit.Time(-1)
	if c.gone.open {
		gone = unit.Time(c.gone.from)
	}
	for _, x := range []struct {
		what      string
		want, got any
	}{
		{"frames", c.Frames, got.Frames}, {"missed", c.Missed, got.Missed}, {"runs", c.MissedRuns, got.MissedRuns},
		{"longest run", c.LongestRun, got.LongestRun}, {"gaps", c.GapFrames, got.GapFrames}, {"damage", c.DamageRuns, got.DamageRuns},
		{"silences", c.Silences, got.Silences}, {"late", c.Late, got.Late}, {"unplugs", c.Unplugs, got.Unplugs},
		{"failsafes", c.Failsafes, got.Failsafes}, {"outages", c.Outages, got.Outages}, {"causes", c.Causes, got.Causes},
		{"an outage under way", c.gone.open, got.GoneSinceNS >= 0}, {"spikes", c.Spikes, got.Spikes},
		{"reaches to", unit.Time(c.until), a.UntilNS}, {"the program did not run", unit.Duration(c.stopped), a.StoppedNS},
		{"the computer stood still", unit.Duration(c.stalled), a.StalledNS},
		{"the recording lacks it", unit.Duration(c.unrecorded), a.UnrecordedNS}, {"the port was shut", unit.Duration(c.unplugged), got.UnpluggedNS},
	} {
		assert.Equal(t, x.want, x.got, "%s: %s", when, x.what)
	}
	assert.InDelta(t, float64(gone), float64(got.GoneSinceNS), 1e8, "%s: since when it is gone", when)
	least, most := c.occasions()
	assert.GreaterOrEqual(t, got.Occasions, least, "%s: occasions", when)
	assert.LessOrEqual(t, got.Occasions, most, "%s: occasions", when)
	assert.LessOrEqual(t, got.LiveNS, unit.Duration(c.linkedFor), "%s: live", when)
	assert.GreaterOrEqual(t, got.LiveNS, unit.Duration(c.linkedFor-c.borders*second), "%s: live", when)
	requireTimesAddUp(t, a, when)
}

// requireTimesAddUp holds an account to its own span: each moment of it counts once.
func requireTimesAddUp(t *testing.T, a *state.Account, when string) {
	t.Helper()
	not := a.StoppedNS + a.StalledNS + a.UnrecordedNS
	for i := range a.Taps {
		x := &a.Taps[i]
		watched := x.LiveNS + x.OutageNS + x.WaitingNS + x.UnpluggedNS + x.PhoneNS + x.DrillNS
		assert.Equal(t, a.UntilNS.Sub(a.SinceNS), watched+not, "%s: hours watched and hours not watched", when)
		var h state.SoakHour
		for k := range x.Strip {
			h.LiveNS, h.Frames, h.Missed, h.Outages = h.LiveNS+x.Strip[k].LiveNS, h.Frames+x.Strip[k].Frames, h.Missed+x.Strip[k].Missed, h.Outages+x.Strip[k].Outages
		}
		assert.Equal(t, []int64{int64(x.LiveNS), x.Frames, x.Missed, x.Outages}, []int64{int64(h.LiveNS), h.Frames, h.Missed, h.Outages}, "%s: the strip", when)
	}
}

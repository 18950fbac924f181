//go:build outside && linux

package main

import (
	"context"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/days"
	"benchproof.example/monitor/unit"
)

// story is something that happens on a day, to the built program and to the simulated one.
type story struct {
	of        days.What
	simulated days.Happening // when it is what of a session that lasts for storyLength
	begins    func(*testing.T) *diskRig
	happens   func(*testing.T, *diskRig) // to a session that answers; it answers again behind it
	says      string                     // what is said of it, "" for nothing
}

const storyLength = 12 * unit.Second

// stories are the commonest of the days, and those that wait for a hand: a computer that sleeps, another
// program, who goes away in mid-drill. No test sets the clock of the computer it runs on, and a power cut is
// another test's (TestPowerCutsOfARealRun).
var stories = []story{
	{"a mark", days.Happening{Count: 4, Text: "many"}, onThisDisk, manyMarks, ""},
	{"a change", days.Happening{Text: "something is to be seen anew"}, onThisDisk, somebodyReopens, ""},
	{"somebody looks", days.Happening{Count: 2}, onThisDisk, somebodyLooks, ""},
	{"somebody follows", days.Happening{For: int64(5 * unit.Second), Count: 1}, onThisDisk, somebodyFollows, ""},
	{"stop", days.Happening{}, onThisDisk, func(t *testing.T, r *diskRig) { r.endsWell(t); r.again(t) }, ""},
	{"kill", days.Happening{Count: 3}, onThisDisk, killed, ""},
	{"the disk hangs", days.Happening{For: int64(4 * unit.Second)}, onThisDisk, unwell("delay_enter=4000000"), "watching goes on"},
	{"the disk refuses", days.Happening{Count: 2, Text: "sync"}, onThisDisk, unwell("error=EIO"), "watching goes on"},
	{"the disk is full", days.Happening{For: int64(2 * unit.Second)}, onSmallDisk, fills, "no space left on device"},
	{"the port clogs", days.Happening{For: int64(700 * unit.Millisecond)}, onThisDisk, onWire(clog(true), clog(false), 700*time.Millisecond), ""},
	{"the port babbles", days.Happening{For: int64(unit.Second), Count: 60}, onThisDisk, onWire(babble(noise()), babble(nil), time.Second), ""},
	{"the port vanishes", days.Happening{For: int64(unit.Second)}, onThisDisk, vanishes, ""},
	{"all stands still", days.Happening{For: int64(3 * unit.Second)}, onThisDisk, standsStill, ""},
	{"another daemon", days.Happening{}, onThisDisk, anotherDaemon, ""},
	{"a drill", days.Happening{Text: firstDrill(), Count: 1}, onThisDisk, goesAwayInADrill, ""},
}

func noise() *rand.Rand { return rand.New(rand.NewPCG(1, 2)) }

func firstDrill() string {
	s, err := sheet.Read("starter", sheet.Starter())
	if err != nil {
		return ""
	}
	return drill.Plans(s)[0].Name
}

// The commonest stories of the days, told to the built program at a pseudo-terminal, end as the simulated
// ones do, and by the same measure: it ends when it is asked to; the timeline is what the recording gives
// but for gaps, which are said; nothing is lost that was answered as recorded; the verdicts are those of a
// replay; and who opens it again finds nothing to mend.
func TestTheCommonestStoriesInEarnest(t *testing.T) {
	var told sync.WaitGroup
	for atOnce := range storiesAtOnce {
		told.Go(func() {
			for i := atOnce; i < len(stories); i += storiesAtOnce {
				t.Run(string(stories[i].of), stories[i].tell)
			}
		})
	}
	told.Wait()
}

// storiesAtOnce is how many are told at once: they wait for most of the time, also on one processor.
const storiesAtOnce = 5

func (s *story) tell(t *testing.T) {
	lives, gaps := s.simulate(t)
	r := s.begins(t)
	r.untilHeard(t, 1)
	r.until(t, 1)
	s.happens(t, r)
	r.until(t, 1)
	r.endsWell(t)
	assert.Contains(t, r.talk.String(), s.says)
	really, reallyGaps := r.livesAndGaps(t)
	assert.Equal(t, lives, really, "lives")
	assert.Equal(t, gaps > 0, reallyGaps > 0, "gaps: %d simulated, %d in earnest: %s", gaps, reallyGaps, r.talk.String())
	r.requireMarks(t)
	r.requireReplayed(t)
	r.requireNothingToMend(t)
}

// simulate plays it on a simulated day, which must hold.
func (s *story) simulate(t *testing.T) (lives, gaps int) {
	h := s.simulated
	h.What, h.At, h.Luck = s.of, int64(3*unit.Second), 1
	p, err := days.Play(&days.Story{
		Seed: 1, Sheet: string(sheet.Starter()), Bench: storyBench, Length: int64(storyLength), Every: 1, Segment: 2 * unit.Second,
		Happens: []days.Happening{{What: "hands", Text: "signal on"}, h},
	})
	require.NoError(t, err)
	return p.Lives, p.Gaps
}

// What happens most often on the days is among the stories, but for what no test does to a computer.
func TestTheStoriesAreTheCommonest(t *testing.T) {
	often := map[days.What]int{}
	for seed := range uint64(1000) {
		for _, h := range days.New(seed).Happens {
			often[h.What]++
		}
	}
	for _, other := range []days.What{"hands", "power cut", "the clock is set"} {
		delete(often, other)
	}
	commonest := slices.SortedFunc(maps.Keys(often), func(a, b days.What) int { return often[b] - often[a] })[:10]
	t.Logf("%v", often)
	for _, what := range commonest {
		assert.True(t, slices.ContainsFunc(stories, func(s story) bool { return s.of == what }), "%s: %d times in 1000 days", what, often[what])
	}
}

// manyMarks come at once, and some who ask go away at once.
func manyMarks(t *testing.T, r *diskRig) {
	var asking sync.WaitGroup
	for n := range 8 {
		asking.Go(func() {
			c, err := client.Dial(string(r.folder))
			if !assert.NoError(t, err) {
				return
			}
			defer c.Close()
			ctx, goAway := context.WithCancel(t.Context())
			if n%2 == 0 {
				time.AfterFunc(10*time.Millisecond, goAway)
			}
			defer goAway()
			_, err = c.Mark(ctx, "many")
			assert.True(t, err == nil || n%2 == 0, "%v", err)
		})
	}
	asking.Wait()
}

func somebodyReopens(t *testing.T, r *diskRig) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	c, err := client.Dial(string(r.folder))
	require.NoError(t, err)
	defer c.Close()
	done, err := c.Reopen(t.Context(), claim.Topics(s)[0])
	require.NoError(t, err)
	require.True(t, done.Recorded)
}

func somebodyLooks(t *testing.T, r *diskRig) {
	c, err := client.Dial(string(r.folder))
	require.NoError(t, err)
	defer c.Close()
	events, err := c.Follow(t.Context())
	require.NoError(t, err)
	defer events.Close()
	for range 20 {
		_, err = c.Taps(t.Context())
		require.NoError(t, err)
		_, err = c.Timeline(t.Context(), 0)
		require.NoError(t, err)
		_, err = c.Drilling(t.Context())
		require.NoError(t, err)
	}
}

// somebodyFollows has the events streamed, as they stand in the timeline, and goes away.
func somebodyFollows(t *testing.T, r *diskRig) {
	c, err := client.Dial(string(r.folder))
	require.NoError(t, err)
	defer c.Close()
	events, err := c.Follow(t.Context())
	require.NoError(t, err)
	defer events.Close()
	for range 5 {
		r.until(t, 1)
		line, err := events.Next()
		require.NoError(t, err)
		journal, err := os.ReadFile(r.folder.Path(session.TimelineFile))
		require.NoError(t, err)
		require.Contains(t, string(journal), string(line))
	}
}

func killed(t *testing.T, r *diskRig) {
	require.NoError(t, r.cmd.Process.Kill())
	_ = r.cmd.Wait()
	r.again(t)
}

// unwell has each sync go wrong until a mark is answered as not recorded.
func unwell(what string) func(*testing.T, *diskRig) {
	return func(t *testing.T, r *diskRig) {
		letGo := r.syncsAre(t, what)
		r.until(t, 0)
		letGo()
	}
}

func fills(t *testing.T, r *diskRig) {
	r.fill(t)
	r.until(t, 0)
	require.NoError(t, os.Remove(r.disk+"/filler"))
}

func onWire(begins, ends func(*wire) error, lasts time.Duration) func(*testing.T, *diskRig) {
	return func(t *testing.T, r *diskRig) {
		require.NoError(t, r.far.happens(begins))
		pause(t.Context(), lasts)
		require.NoError(t, r.far.happens(ends))
	}
}

func vanishes(t *testing.T, r *diskRig) {
	onWire(setPlug(false), setPlug(true), time.Second)(t, r)
	r.untilHeard(t, 2)
}

func standsStill(t *testing.T, r *diskRig) {
	require.NoError(t, r.cmd.Process.Signal(syscall.SIGSTOP))
	pause(t.Context(), 3*time.Second)
	require.NoError(t, r.cmd.Process.Signal(syscall.SIGCONT))
}

func anotherDaemon(t *testing.T, r *diskRig) {
	other := asItself("watch", "--sheet", r.folder.Path(session.SheetFile), "--bus", "/dev/null", "--session", string(r.folder))
	said, err := other.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(said), session.ErrBusy.Error())
}

func goesAwayInADrill(t *testing.T, r *diskRig) {
	c, err := client.Dial(string(r.folder))
	require.NoError(t, err)
	_, err = c.Drill(t.Context(), &event.DrillStep{Drill: firstDrill(), Do: event.StepBegin})
	require.NoError(t, err)
	c.Close()
}

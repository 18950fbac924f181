package days_test

import (
	"encoding/json"
	"hash/fnv"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/days"
)

// What the environment may say.
const (
	seedVariable  = "BENCHPROOF_DAY"  // the day of this seed is played, alone, and told
	countVariable = "BENCHPROOF_DAYS" // so many days are played
	fromVariable  = "BENCHPROOF_FROM" // from this seed on
)

// someDays is how many days are played each time.
const someDays = 500

// freshDay is the first of the days that are played each time: another for each change of the source,
// so that days are played that nobody has seen, and the same until the next, so that what passed here
// passes elsewhere. make days plays any others.
func freshDay(t testing.TB) uint64 {
	sum := fnv.New32a()
	for _, dir := range []string{"decode", "monitor"} {
		require.NoError(t, filepath.WalkDir(filepath.Join(root, dir), func(path string, _ fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
				return err
			}
			text, err := os.ReadFile(path)
			_, _ = sum.Write(text)
			return err
		}))
	}
	return uint64(sum.Sum32()) * someDays
}

func number(t testing.TB, variable string, otherwise uint64) uint64 {
	text := os.Getenv(variable)
	if text == "" {
		return otherwise
	}
	n, err := strconv.ParseUint(text, 10, 64)
	require.NoError(t, err, variable)
	return n
}

// A day is the same each time that it is played, to the last thing that is said.
func TestADayReplaysExactly(t *testing.T) {
	seed := number(t, seedVariable, 3)
	if os.Getenv(seedVariable) != "" {
		t.Log(days.New(seed))
	}
	first, err := days.Play(days.New(seed))
	for _, line := range first.Log {
		t.Log(line)
	}
	assert.NoError(t, err)
	second, again := days.Play(days.New(seed))
	require.Equal(t, first, second)
	require.Equal(t, err, again)
}

// Whatever goes wrong on a day: what must hold holds.
func TestDays(t *testing.T) {
	from := number(t, fromVariable, freshDay(t))
	count := number(t, countVariable, someDays)
	t.Logf("%d days from seed %d on", count, from)
	all := &tally{}
	t.Run("each", func(t *testing.T) {
		for part := range uint64(runtime.GOMAXPROCS(0)) {
			t.Run(strconv.FormatUint(part, 10), func(t *testing.T) {
				t.Parallel()
				for n := part; n < count && all.failed.Load() < toldDays; n += uint64(runtime.GOMAXPROCS(0)) {
					all.play(t, from+n)
				}
			})
		}
	})
	t.Logf("%+v", all.of)
	assert.Greater(t, all.of.Lives, int(count), "some ended early")
	assert.Greater(t, all.of.Events, 5*int(count))
	assert.Greater(t, all.of.Promised, 5*int(count))
	assert.Greater(t, all.of.Gaps, int(count)/20)
}

// toldDays is how many failing days are told at most.
const toldDays = 3

// tally is what came of many days together.
type tally struct {
	lock   sync.Mutex
	of     days.Played
	failed atomic.Int32
}

func (y *tally) play(t *testing.T, seed uint64) {
	p, err := days.Play(days.New(seed))
	y.lock.Lock()
	y.of.Add(&p)
	y.lock.Unlock()
	if err != nil && y.failed.Add(1) <= toldDays {
		tell(t, seed, err)
	}
}

// tell tells a failing day as short as it can be told.
func tell(t *testing.T, seed uint64, err error) {
	t.Errorf("found by seed %d (%s=%d plays it alone): %v", seed, seedVariable, seed, err)
	short := days.Shortest(days.New(seed), 100, func(s *days.Story) bool {
		_, err := days.Play(s)
		return err != nil
	})
	p, err := days.Play(short)
	text, failed := json.Marshal(short)
	t.Logf("its shortest story ends with: %v\n%v%v\n%s %v", err, short, p.Log, text, failed)
}

// The first days, in their order, until one fails: what finds a fault that was planted.
func TestUntilADayFails(t *testing.T) {
	from := number(t, fromVariable, 0)
	for seed := from; seed < from+number(t, countVariable, 20); seed++ {
		if _, err := days.Play(days.New(seed)); err != nil {
			require.Fail(t, "a day failed", "found by seed %d (%s=%d plays it alone): %v", seed, seedVariable, seed, err)
		}
	}
}

package days_test

import (
	"encoding/json"
	"os"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/days"
)

// What the environment may say.
const (
	seedVariable  = "BENCHPROOF_DAY"  // the day of this seed is played, alone, and told
	countVariable = "BENCHPROOF_DAYS" // so many fresh days are played
	fromVariable  = "BENCHPROOF_FROM" // from this seed on
)

// freshDays is how many are played each time.
const freshDays = 500

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
func TestFreshDays(t *testing.T) {
	from := number(t, fromVariable, uint64(time.Now().UnixNano())>>20)
	count := number(t, countVariable, freshDays)
	t.Logf("%d days from seed %d on", count, from)
	all := playAll(t, from, count, 3)
	t.Logf("%+v", all)
	assert.Greater(t, all.Lives, int(count), "some ended early")
	assert.Greater(t, all.Events, 5*int(count))
	assert.Greater(t, all.Promised, 5*int(count))
	assert.Greater(t, all.Gaps, int(count)/10)
}

// playAll plays days on all processors, and gives what came of them together. It tells those that
// fail, so many at most.
func playAll(t *testing.T, from, count uint64, most int32) (all days.Played) {
	var next atomic.Uint64
	var failed atomic.Int32
	var lock sync.Mutex
	var playing sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		playing.Go(func() {
			for n := next.Add(1) - 1; n < count && failed.Load() < most; n = next.Add(1) - 1 {
				p, err := days.Play(days.New(from + n))
				lock.Lock()
				all.Add(&p)
				lock.Unlock()
				if err != nil && failed.Add(1) <= most {
					tell(t, from+n, err)
				}
			}
		})
	}
	playing.Wait()
	return all
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

package days_test

import (
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/days"
)

// The day of a seed, alone: BENCHPROOF_DAY=SEED.
func TestADay(t *testing.T) {
	text := os.Getenv("BENCHPROOF_DAY")
	if text == "" {
		text = "1"
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	require.NoError(t, err)
	p, err := days.Play(days.New(seed))
	t.Log(p)
	require.NoError(t, err)
}

func TestManyDays(t *testing.T) {
	began := time.Now()
	failed, inputs, lives := 0, 0, 0
	from, _ := strconv.ParseUint(os.Getenv("FROM"), 10, 64)
	to, _ := strconv.ParseUint(os.Getenv("TO"), 10, 64)
	for seed := from; seed < to; seed++ {
		one := time.Now()
		p, err := days.Play(days.New(seed))
		if took := time.Since(one); took > time.Second {
			t.Logf("seed %d takes %v", seed, took)
		}
		inputs, lives = inputs+p.Inputs, lives+p.Lives
		if err != nil {
			failed++
			if os.Getenv("SHORT") != "" {
				t.Log(days.Shortest(days.New(seed), 100, func(s *days.Story) bool { _, err := days.Play(s); return err != nil }))
			}
			t.Errorf("seed %d: %v", seed, err)
		}
	}
	t.Logf("%d failed, %d inputs, %d lives, %v", failed, inputs, lives, time.Since(began))
}

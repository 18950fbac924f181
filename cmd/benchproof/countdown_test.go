package main

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
)

// heardUntil is what is counted, each number with when it came, ms.
func heardUntil(c *countdown, end time.Duration) (said []string, at []int64) {
	began, over := time.Now(), time.After(end)
	for {
		select {
		case <-c.due():
			said, at = append(said, c.number()), append(at, time.Since(began).Milliseconds())
		case <-over:
			return said, at
		}
	}
}

func TestTheLastSecondsAreCounted(t *testing.T) {
	for _, x := range []struct {
		name  string
		aloud bool
		lasts time.Duration
		said  []string
		at    []int64
	}{
		{"six seconds", true, 6 * time.Second, []string{"3 ... ", "2 ... ", "1 ... "}, []int64{3000, 4000, 5000}},
		{"three", true, 3 * time.Second, []string{"3 ... ", "2 ... ", "1 ... "}, []int64{0, 1000, 2000}},
		{"four and a half", true, 4500 * time.Millisecond, []string{"3 ... ", "2 ... ", "1 ... "}, []int64{1500, 2500, 3500}},
		{"taken over in its last seconds", true, 2500 * time.Millisecond, []string{"2 ... ", "1 ... "}, []int64{500, 1500}},
		{"taken over in its last", true, 900 * time.Millisecond, nil, nil},
		{"should have ended", true, -time.Second, nil, nil},
		{"no time of its own", true, 0, nil, nil},
		{"nobody reads it", false, 6 * time.Second, nil, nil},
	} {
		t.Run(x.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c := countdown{aloud: x.aloud}
				c.from(x.lasts)
				said, at := heardUntil(&c, time.Minute)
				assert.Equal(t, x.said, said)
				assert.Equal(t, x.at, at)
			})
		})
	}
}

// What is left of one count does not run into the next prompt.
func TestACountEndsWithItsPrompt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := countdown{aloud: true}
		c.from(3 * time.Second)
		said, _ := heardUntil(&c, 1500*time.Millisecond)
		assert.Equal(t, []string{"3 ... ", "2 ... "}, said)
		c.from(0)
		said, _ = heardUntil(&c, time.Minute)
		assert.Empty(t, said)
		c.from(5 * time.Second)
		said, at := heardUntil(&c, time.Minute)
		assert.Equal(t, []string{"3 ... ", "2 ... ", "1 ... "}, said)
		assert.Equal(t, []int64{2000, 3000, 4000}, at)
	})
}

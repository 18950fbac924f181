package main

import (
	"fmt"
	"time"
)

// counts are how many seconds are counted aloud before a prompt ends by itself.
const counts = 3

// countdown counts the last seconds of a prompt that runs its time: "3 ... 2 ... 1
// ...". It goes by this program's clock, a little behind the daemon's, and decides
// nothing. The zero value counts nothing; it is for one goroutine.
type countdown struct {
	aloud bool // somebody reads it while it counts
	timer *time.Timer
	next  int // what is said next, 0: nothing
}

// from counts down to the end of a prompt that has so long to go; 0 is for one that does
// not end by itself, and less for one that should have ended.
func (c *countdown) from(left time.Duration) {
	if c.timer != nil {
		c.timer.Stop()
	}
	c.timer, c.next = nil, 0
	if c.aloud && left >= time.Second {
		c.next = min(counts, int(left/time.Second))
		c.timer = time.NewTimer(left - time.Duration(c.next)*time.Second)
	}
}

// due is when the next number is to be said; it never is while nothing is counted.
func (c *countdown) due() <-chan time.Time {
	if c.next == 0 {
		return nil
	}
	return c.timer.C
}

// number is the number that is due.
func (c *countdown) number() string {
	s := fmt.Sprintf("%d ... ", c.next)
	if c.next--; c.next > 0 {
		c.timer.Reset(time.Second)
	}
	return s
}

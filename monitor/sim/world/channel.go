package world

import "slices"

// channelPlan is one channel of the transmitter. Widths are ns.
type channelPlan struct {
	line      int // where the script declares it
	number    int // 0..15
	name      string
	start     int64
	low, high int64 // a stick's stops
	places    []place
	beat      *heartbeatPlan
}

// atStop says whether a stick leans against a stop there.
func (c *channelPlan) atStop(width int64) bool { return width == c.low || width == c.high }

// insert puts a place between the two whose widths enclose it, or else beyond
// the nearer end.
func (c *channelPlan) insert(p place) {
	at := len(c.places)
	if off := func(i int) int64 { return max(c.places[i].width-p.width, p.width-c.places[i].width) }; off(0) < off(at-1) {
		at = 0
	}
	for i := 1; i < len(c.places); i++ {
		if a, b := c.places[i-1].width, c.places[i].width; min(a, b) < p.width && p.width < max(a, b) {
			at = i
		}
	}
	c.places = slices.Insert(c.places, at, p)
}

// declared is how many places the switch is meant to have.
func (c *channelPlan) declared() (n int) {
	for i := range c.places {
		if !c.places[i].extra {
			n++
		}
	}
	return n
}

// placeAt is the index of the first place at a width, -1: there is none.
func (c *channelPlan) placeAt(width int64) int {
	for i := range c.places {
		if c.places[i].width == width {
			return i
		}
	}
	return -1
}

// placeNamed is the index of a place, -1: there is none.
func (c *channelPlan) placeNamed(name string) int {
	for i := range c.places {
		if c.places[i].name == name {
			return i
		}
	}
	return -1
}

type place struct {
	name  string
	width int64
	extra bool // a fault put it there
}

type heartbeatPlan struct{ low, high, every int64 }

package world

import "slices"

// ChannelPlan is one channel of the transmitter. Widths are ns.
type ChannelPlan struct {
	Number    int // 0..15
	Name      string
	Start     int64
	Low, High int64 // a stick's stops
	Places    []Place
	Heartbeat *HeartbeatPlan
}

// AtStop says whether a stick leans against a stop there.
func (c *ChannelPlan) AtStop(width int64) bool { return width == c.Low || width == c.High }

// Insert puts a place between the two whose widths enclose it, or else beyond
// the nearer end.
func (c *ChannelPlan) Insert(p Place) {
	at := len(c.Places)
	if off := func(i int) int64 { return max(c.Places[i].Width-p.Width, p.Width-c.Places[i].Width) }; off(0) < off(at-1) {
		at = 0
	}
	for i := 1; i < len(c.Places); i++ {
		if a, b := c.Places[i-1].Width, c.Places[i].Width; min(a, b) < p.Width && p.Width < max(a, b) {
			at = i
		}
	}
	c.Places = slices.Insert(c.Places, at, p)
}

// Declared is how many places the switch is meant to have.
func (c *ChannelPlan) Declared() (n int) {
	for i := range c.Places {
		if !c.Places[i].Extra {
			n++
		}
	}
	return n
}

// PlaceAt is the index of the first place at a width, -1: there is none.
func (c *ChannelPlan) PlaceAt(width int64) int {
	for i := range c.Places {
		if c.Places[i].Width == width {
			return i
		}
	}
	return -1
}

// PlaceNamed is the index of a place, -1: there is none.
func (c *ChannelPlan) PlaceNamed(name string) int {
	for i := range c.Places {
		if c.Places[i].Name == name {
			return i
		}
	}
	return -1
}

// Place is a named position of a switch. Its width is ns.
type Place struct {
	Name  string
	Width int64
	Extra bool // a fault put it there
}

package draft

import "benchproof.example/monitor/unit"

const cutHeld = 700 * unit.Millisecond

// lookJump finds where the throttle is with its cut on.
func (c *Conversation) lookJump() {
	found := c.Model.Found[keyThrottle]
	at, stands := c.track(found.Channel).stands(cutHeld)
	idle := found.place("idle")
	if !stands || unit.Abs(at-idle.Width) <= flicker {
		return
	}
	full := found.place("full")
	if (at > idle.Width) == (full.Width > idle.Width) && unit.Abs(at-idle.Width) > unit.Abs(full.Width-idle.Width)/4 {
		return // the stick was moved
	}
	c.foundCut(Place{Name: "cut", Width: at, Times: 1})
}

func (c *Conversation) foundCut(cut Place) {
	c.say("throttle cut: %s.", cut.String())
	c.done(func(m *Model) {
		found := m.Found[keyThrottle]
		found.Places = append([]Place{cut}, found.Places...)
		m.Found[keyThrottle] = found
	})
}

// lookBack waits until the cut is off again.
func (c *Conversation) lookBack() {
	found := c.Model.Found[keyThrottle]
	if at, stands := c.track(found.Channel).stands(restHeld); stands && unit.Abs(at-found.place("idle").Width) <= flicker {
		c.done(func(*Model) {})
	}
}

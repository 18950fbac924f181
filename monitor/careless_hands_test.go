package monitor_test

import (
	"time"
)

// acts are what hands and links do in free play; several lines of one thing make it
// more frequent.
func (c *careless) act() {
	acts := []func(){
		c.stirs, c.stirs, c.stirs, c.stirsPausing, c.stirsPausing, c.slams, c.slams, c.leansOnAGate, c.circles, c.circles,
		c.leaves, c.lets, c.nudges, c.flips, c.flips, c.flips, c.presses, c.turnsTheKnob, c.changesRates, c.changesPhase,
		c.idles, c.idles, c.hiccups, c.hiccups, c.stalls, c.spoils, c.spoils, c.brownsOut,
	}
	acts[c.rng.IntN(len(acts))]()
}

// two are two axes that one hand moves, or more.
func (c *careless) axes() string {
	return one(c.rng, "aileron elevator", "aileron elevator", "rudder", "aileron", "aileron elevator rudder", "rudder throttle")
}

func (c *careless) after() { c.wait(100*time.Millisecond, 1500*time.Millisecond) }

func (c *careless) stirs() {
	lasts := c.millis(1500, 9000)
	c.do("stir %s for %dms", c.axes(), lasts.Milliseconds())
	c.at += lasts
	c.after()
}

func (c *careless) stirsPausing() {
	axes, lasts := c.axes(), c.millis(4000, 9000)
	from := c.at
	c.do("stir %s for %dms", axes, lasts.Milliseconds())
	for c.at < from+lasts-2500*time.Millisecond {
		c.wait(600*time.Millisecond, 1500*time.Millisecond)
		pause := c.millis(300, 2500)
		c.do("pause %s for %dms", axes, pause.Milliseconds())
		c.at += pause
	}
	c.at = from + lasts
	c.after()
}

// slams throws the stick into corners and lets it go.
func (c *careless) slams() {
	for range between(c.rng, 1, 4) {
		over, held := between(c.rng, 40, 140), between(c.rng, 20, 900)
		c.do("slam aileron %d elevator %d over %dms for %dms", one(c.rng, 988, 2012), one(c.rng, 988, 2012), over, held)
		c.at += time.Duration(over+held) * time.Millisecond
		c.wait(100*time.Millisecond, 500*time.Millisecond)
	}
	c.after()
}

// leansOnAGate runs both axes onto their stops and holds them, then leaves for the
// opposite corner or lets go.
func (c *careless) leansOnAGate() {
	a, e := one(c.rng, 988, 2012), one(c.rng, 988, 2012)
	c.do("slam aileron %d elevator %d over %dms", a, e, between(c.rng, 50, 200))
	c.wait(600*time.Millisecond, 4*time.Second)
	if c.often(60) {
		c.do("slam aileron %d elevator %d over %dms for %dms", 3000-a, 3000-e, between(c.rng, 50, 250), between(c.rng, 300, 2000))
		c.wait(600*time.Millisecond, 3*time.Second)
	} else {
		c.do("release aileron elevator")
	}
	c.after()
}

func (c *careless) circles() {
	lasts := c.millis(2000, 8000)
	c.do("circle %s every %dms for %dms", one(c.rng, "aileron elevator", "aileron elevator rudder throttle"), between(c.rng, 500, 2500), lasts.Milliseconds())
	c.at += lasts + 600*time.Millisecond
	c.after()
}

// leaves puts a stick off its centre and leaves it there.
func (c *careless) leaves() {
	c.do("stick %s %d over %dms", one(c.rng, "aileron", "elevator", "rudder"), between(c.rng, 1200, 1800), between(c.rng, 150, 900))
	c.wait(500*time.Millisecond, 2*time.Second)
}

func (c *careless) lets() {
	c.do("release aileron elevator rudder")
	c.after()
}

// nudges moves the throttle a little and leaves it, and may stir then.
func (c *careless) nudges() {
	c.throttle = min(max(c.throttle+one(c.rng, int64(1), 1, -1)*int64(between(c.rng, 10, 60)), 1010), 2012)
	c.do("stick throttle %d over %dms", c.throttle, between(c.rng, 60, 400))
	c.wait(200*time.Millisecond, 2500*time.Millisecond)
	if c.often(50) {
		c.stirs()
	}
}

func (c *careless) flips() {
	switch c.rng.IntN(3) {
	case 0:
		c.do("outer %s", one(c.rng, "back", "front"))
	default:
		c.do("inner %s", one(c.rng, "back", "middle", "front"))
	}
	c.wait(60*time.Millisecond, 1500*time.Millisecond)
}

func (c *careless) presses() {
	for range one(c.rng, 1, 1, 1, 2, 3) {
		c.do("press teach for %dms", between(c.rng, 80, 600))
		c.wait(500*time.Millisecond, 1200*time.Millisecond)
	}
}

func (c *careless) turnsTheKnob() {
	c.do("stick gain %d over %dms", between(c.rng, 1500, 2012), between(c.rng, 200, 1500))
	c.wait(300*time.Millisecond, 2*time.Second)
}

func (c *careless) changesRates() {
	if c.low = !c.low; c.low {
		c.do("rate aileron elevator rudder at %d%%", between(c.rng, 50, 80))
	} else {
		c.do("rate aileron elevator rudder at 100%%")
	}
	c.slams()
}

func (c *careless) changesPhase() {
	if !c.phases {
		return
	}
	c.phase = !c.phase
	c.do("phase %s", map[bool]string{true: "on", false: "off"}[c.phase])
	c.wait(200*time.Millisecond, 3*time.Second)
}

func (c *careless) idles() { c.wait(time.Second, 8*time.Second) }

// hiccups leaves out frames while hands do something else.
func (c *careless) hiccups() {
	c.by(c.millis(0, 1500), "mute main for %dms", one(c.rng, 50, 100, 100, 105, 150, 300, 500, 900))
	one(c.rng, c.stirs, c.idles, c.flips)()
}

func (c *careless) stalls() {
	lasts := time.Duration(one(c.rng, 200, 500, 1000, 2000, 5000, 10000)) * time.Millisecond
	from := c.at + c.millis(0, 1500)
	c.also = append(c.also, aside{from, "stall for " + lasts.String()})
	c.unread = append(c.unread, [2]time.Duration{from, from + lasts})
	one(c.rng, c.stirs, c.idles, c.flips)()
	c.at = max(c.at, from+lasts)
	c.wait(time.Second, 3*time.Second)
}

// brownsOut dips the receiver's supply.
func (c *careless) brownsOut() {
	dip := c.millis(50, 1500)
	from := c.millis(0, 1000)
	c.by(from, "power main off")
	c.by(from+dip, "power main on")
	one(c.rng, c.stirs, c.idles)()
	c.at += dip
	c.wait(time.Second, 3*time.Second)
}

// lose loses the signal, with everything wherever it is.
func (c *careless) lose() {
	if c.often(60) {
		c.throttle = int64(between(c.rng, 1100, 1800))
		c.do("stick throttle %d over 400ms", c.throttle)
		c.wait(500*time.Millisecond, time.Second)
	}
	if c.often(40) {
		c.do("inner %s", one(c.rng, "back", "front"))
		c.wait(200*time.Millisecond, time.Second)
	}
	if c.often(30) {
		c.nudges()
	}
	off := one(c.rng, c.millis(200, 1500), c.millis(1500, 5000), c.millis(3000, 12000), c.millis(5500, 9000))
	if c.often(60) { // the hands go on through it, or some way
		lasts := c.millis(1500, 6000)
		c.do("stir %s for %dms", one(c.rng, "aileron elevator", "aileron", "rudder"), lasts.Milliseconds())
		c.wait(700*time.Millisecond, lasts)
	}
	c.do("signal off")
	end := c.at + off
	if c.often(50) {
		c.wait(300*time.Millisecond, 1500*time.Millisecond)
		c.flips()
	}
	c.at = max(c.at, end)
	c.do("signal on")
	c.wait(300*time.Millisecond, 3*time.Second)
}

package monitor_test

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
)

// broken is what is wrong with a craft, or nothing.
type broken struct {
	transmitter string            // settings
	presets     map[string]string // in the place of the right ones; "" for none
	leads       string            // settings below the outputs
	swaps       [2]string         // outputs that are exchanged, "" for none
	own         []string          // patterns of the claims that it may be seen wrong in
	drills      []string          // that show it
	rests       bool              // it shows while all rests for long
	dips        bool              // the supply does, while sticks are stirred
	cures       []string          // settings that do, as in the table of the oracle
}

// mixes are the outputs as they are.
func (f *broken) mixes(right string) string {
	if f.swaps[0] == "" {
		return right
	}
	a, b := "output "+f.swaps[0]+" ", "output "+f.swaps[1]+" "
	return strings.NewReplacer(a, b, b, a).Replace(right)
}

// fault is a family of them. make returns nil where a craft can't have it.
type fault struct {
	name string
	make func(c *craft) *broken
}

func (c *craft) stickName() string { return one(c.rng, "aileron", "elevator", "rudder") }

// surfaces are the outputs that correct something.
func (c *craft) surface() string { return one(c.rng, "1", "2", "4") }

// analog is a lever that is no digital channel.
func (c *craft) analog() *lever { return &c.levers[0] }

// faults are those of a transmitter's set-up.
var faultsOfTransmitters = []fault{
	{"channel reversed", func(c *craft) *broken {
		n := c.stickName()
		return &broken{transmitter: "fault reverse " + n + "\n", own: []string{"order/" + n}, drills: []string{"order"}, cures: []string{"reverse"}}
	}},
	{"throttle reversed", func(c *craft) *broken {
		if !c.throttled() {
			return nil
		}
		return &broken{transmitter: "fault reverse throttle\n",
			own: []string{"order/throttle", "idle/throttle", "cut/throttle"}, drills: []string{"order", "neutral"},
			cures: []string{"reverse"}}
	}},
	{"travel wrong", func(c *craft) *broken {
		n := c.stickName()
		return &broken{transmitter: fmt.Sprintf("fault scale %s %d%%\n", n, one(c.rng, between(c.rng, 70, 92), between(c.rng, 104, 106))),
			own: []string{"travel/" + n + "/*"}, drills: []string{"ends"}, cures: []string{"travel", "rates"}}
	}},
	{"position outside its window", func(c *craft) *broken {
		l := c.analog()
		k := between(c.rng, 1, len(l.names)-1)
		from, _ := l.window(k)
		return &broken{transmitter: fmt.Sprintf("fault lands %s %s %d\n", l.name, l.names[k], from-int64(between(c.rng, 5, 25))),
			own: []string{"position/" + l.name + "/*", "mode/*", "mode/*/*", "mode/*/*/*", "margin/*/*", "margin/*/*/*",
				"passing/*"}, drills: []string{"mode"}, cures: []string{"position"}}
	}},
	{"position near its window's edge", func(c *craft) *broken {
		l := c.analog()
		k := between(c.rng, 1, len(l.names)-1)
		from, _ := l.window(k)
		return &broken{transmitter: fmt.Sprintf("fault lands %s %s %d\n", l.name, l.names[k], from+int64(between(c.rng, 15, 45))),
			own: []string{"position/" + l.name + "/*", "margin/*/*", "margin/*/*/*"}, drills: []string{"mode"}, cures: []string{"position"}}
	}},
	{"switch reaching nothing", func(c *craft) *broken {
		l := &c.levers[c.rng.IntN(len(c.levers))]
		return &broken{transmitter: fmt.Sprintf("fault stuck %s %d\n", l.name, l.widths[0]),
			own: []string{"position/" + l.name + "/*", "mode/*/*", "mode/*/*/*", "margin/*/*", "margin/*/*/*"}, drills: []string{"mode"}, cures: []string{"assignment"}}
	}},
	{"switch slow", func(c *craft) *broken {
		if len(c.levers) == 1 {
			return nil
		}
		return &broken{transmitter: fmt.Sprintf("fault slew inner %dms\n", between(c.rng, 500, 900)),
			own: []string{"passing/*"}, drills: []string{"mode"}, cures: []string{"slow"}}
	}},
	{"throttle's preset wrong", func(c *craft) *broken {
		if !c.throttled() {
			return nil
		}
		return &broken{presets: map[string]string{"throttle": one(c.rng, "1300", "1100", "")},
			own: []string{"failsafe/throttle", "failsafe/output:3", "powerup/throttle"}, cures: []string{"failsafe"}}
	}},
	{"mode's preset wrong", func(c *craft) *broken {
		l := &c.levers[0]
		at := c.doing(sheet.DoesNothing).at[0]
		return &broken{presets: map[string]string{l.name: l.names[(at+1)%len(l.names)]},
			own: []string{"failsafe/" + l.name, "failsafe/mode"}, cures: []string{"failsafe"}}
	}},
	{"gain's preset wrong", func(c *craft) *broken {
		if c.gain != "knob" {
			return nil
		}
		return &broken{presets: map[string]string{"gain": one(c.rng, "1500", "")}, own: []string{"failsafe/gain"}, cures: []string{"failsafe"}}
	}},
	{"knob without its curve", func(c *craft) *broken {
		if c.gain != "knob" {
			return nil
		}
		return &broken{transmitter: "fault range gain 988 2012\n", own: []string{"gain/*", "response/*", "correction/*/*"},
			drills: []string{"gain"}, cures: []string{"curve", "knob's ends", "gain", "stabiliser",
				"limit learning"}} // in mid-turn there is none
	}},
	{"knob reversed", func(c *craft) *broken {
		if c.gain != "knob" {
			return nil
		}
		return &broken{transmitter: "fault reverse gain\nfault offset gain 512\n", own: []string{"gain/*"}, drills: []string{"gain"}, cures: []string{"reverse"}}
	}},
	{"channels swapped", func(c *craft) *broken {
		a := c.stickName()
		b := map[string]string{"aileron": "elevator", "elevator": "rudder", "rudder": "aileron"}[a]
		return &broken{transmitter: "fault swap " + a + " " + b + "\n", own: []string{"order/" + a, "order/" + b},
			drills: []string{"order"}, cures: []string{"sources"}}
	}},
	{"mix left on", func(c *craft) *broken {
		a := c.stickName()
		b := map[string]string{"aileron": "elevator", "elevator": "rudder", "rudder": "aileron"}[a]
		return &broken{transmitter: fmt.Sprintf("fault mix %s %s %d%%\n", a, b, between(c.rng, 18, 60)),
			own: []string{"alone/" + a, "clip/" + b, "travel/output:*"}, drills: []string{"order"},
			cures: []string{"mix", "travel", "limit learning"}} // it takes the other beyond its ends
	}},
	{"trim left in", func(c *craft) *broken {
		n := c.stickName()
		return &broken{transmitter: fmt.Sprintf("fault offset %s %d\n", n, one(c.rng, -1, 1)*between(c.rng, 14, 40)),
			own: []string{"neutral/" + n, "travel/" + n + "/*"}, drills: []string{"neutral"}, cures: []string{"trim", "offset"}}
	}},
	{"cut ignored", func(c *craft) *broken {
		if !c.throttled() {
			return nil
		}
		return &broken{transmitter: "fault cut ignored\n", own: []string{"cut/throttle"}, drills: []string{"neutral"}, cures: []string{"cut"}}
	}},
	{"end cut off", func(c *craft) *broken {
		n := c.stickName()
		return &broken{transmitter: fmt.Sprintf("fault clip %s %d %d\n", n, between(c.rng, 1080, 1150), between(c.rng, 1850, 1920)),
			own: []string{"clip/" + n, "travel/" + n + "/*"}, drills: []string{"ends"}, cures: []string{"limit", "travel", "rates"}}
	}},
	{"another model memory", func(c *craft) *broken {
		if c.gain == "fixed" { // it stands elsewhere, too
			return nil
		}
		return &broken{transmitter: "fault memory\n", own: []string{"answers/controls"}, drills: []string{"order", "ends"}, cures: []string{"memory", "binding"}}
	}},
}

// faultsOfReceivers are those of what a receiver sends to its servos.
var faultsOfReceivers = []fault{
	{"output reversed", func(c *craft) *broken {
		n := c.surface()
		return &broken{leads: "fault servo " + n + "\n", own: []string{"moves/output:" + n}, cures: []string{"output's direction"}}
	}},
	{"outputs swapped", func(*craft) *broken {
		return &broken{swaps: [2]string{"1", "2"}, own: []string{"moves/output:1", "moves/output:2", "correction/*/output:*"}, cures: []string{"output's mix"}}
	}},
	{"output clipped", func(c *craft) *broken {
		n, low := c.surface(), between(c.rng, 1150, 1250)
		if c.name == "elevon" && n != "4" || c.name == "vtail" && n != "1" { // half of the travel
			low = between(c.rng, 1300, 1370)
		}
		return &broken{leads: fmt.Sprintf("fault limits %s %d %d\n", n, low, 3000-low), own: []string{"travel/output:" + n, "ends/output:" + n},
			cures: []string{"limit learning", "travel", "learn the limits"}}
	}},
	{"another channel mixed in", func(c *craft) *broken {
		return &broken{leads: fmt.Sprintf("fault blend 1 rudder %d%%\n", between(c.rng, 15, 60)),
			own: []string{"moves/output:1"}, cures: []string{"output's mix", "mix"}}
	}},
	{"output dead", func(c *craft) *broken {
		n := c.surface()
		return &broken{leads: "fault dead " + n + "\n", own: []string{"pulses/output:" + n}, cures: []string{"lead", "output's settings"}}
	}},
	{"output stuck", func(c *craft) *broken {
		n := c.surface()
		return &broken{leads: "fault dead " + n + " 1500\n", own: []string{"moves/output:" + n}, cures: []string{"output's mix"}}
	}},
	{"motor holds on loss", func(c *craft) *broken {
		if !c.throttled() {
			return nil
		}
		return &broken{leads: "fault loss 3 holds\n", own: []string{"failsafe/output:3"}, cures: []string{"failsafe"}}
	}},
	{"surface stops on loss", func(c *craft) *broken {
		n := c.surface()
		return &broken{leads: "fault loss " + n + " stops\n", own: []string{"failsafe/output:" + n}, cures: []string{"failsafe"}}
	}},
	{"correction of an axis reversed", func(c *craft) *broken {
		axis := one(c.rng, "roll", "pitch", "yaw")
		return &broken{leads: "fault correction " + axis + " -100%\n", own: []string{"correction/" + axis + "/output:*"},
			drills: []string{drill.Correction}, cures: []string{"correction"}}
	}},
	{"correction at one of two outputs reversed", func(c *craft) *broken {
		n, axis := map[string]string{"elevon": "1", "vtail": "2"}[c.name], "pitch"
		if n == "" {
			return nil
		}
		return &broken{leads: "fault correction " + axis + " -100% at " + n + "\n",
			own: []string{"correction/" + axis + "/output:" + n}, drills: []string{drill.Correction},
			cures: []string{"correction at one output"}}
	}},
	{"stabiliser dead", func(*craft) *broken {
		return &broken{leads: "fault correction all 0%\n", own: []string{"response/*", "correction/*/output:*"},
			drills: []string{drill.Response, drill.Correction}, cures: []string{"limit learning", "stabiliser"}}
	}},
	{"limits not learnt", func(*craft) *broken {
		return &broken{leads: "fault correction all 3%\n", own: []string{"response/*", "correction/*/output:*"},
			drills: []string{drill.Response, drill.Correction}, cures: []string{"limit learning", "stabiliser"}}
	}},
	{"too much gain", func(c *craft) *broken {
		return &broken{leads: fmt.Sprintf("fault gain roll %d every %dms\n", between(c.rng, 40, 80),
			between(c.rng, 150, 450)), own: []string{"steady/output:*"}, rests: true, cures: []string{"gain"}}
	}},
}

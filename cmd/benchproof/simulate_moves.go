package main

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// A move is what a person at the bench calls one thing to do: a stick to its stop, held, and let
// go, twice; a knob from end to end; a switch through its places. It is made of steps of a
// script, each so long after it began.
type moveStep struct {
	after time.Duration
	step  string
}

// How long the hands take for a move.
const (
	handTakes  = 400 * time.Millisecond // from one end to the other
	handHolds  = 900 * time.Millisecond // from where it begins to go to a stop until it leaves that
	handRests  = 800 * time.Millisecond // from there until it begins again
	leverWaits = time.Second            // at each place of a switch
)

// moveOf is the move that a line asks for: a control by its name and, but for a switch, an end of
// it; nil where it is none.
func moveOf(p *world.Plan, line string) []moveStep {
	name, end, _ := strings.Cut(line, " ")
	for i := range p.Channels {
		c := &p.Channels[i]
		switch {
		case c.Name != name || c.Heartbeat != nil:
		case len(c.Places) > 1 && end == "":
			return throughPlaces(c)
		case len(c.Places) == 0:
			return toStop(p, c, end)
		}
	}
	return nil
}

// throughPlaces puts a switch through all its places; one with two to the other and back, twice.
func throughPlaces(c *world.ChannelPlan) (list []moveStep) {
	var order []int
	for i := range c.Places {
		order = append(order, i)
	}
	if len(order) == 2 {
		was := max(0, c.PlaceAt(c.Start))
		order = []int{1 - was, was, 1 - was, was}
	}
	for n, place := range order {
		list = append(list, moveStep{time.Duration(n) * leverWaits, c.Name + " " + c.Places[place].Name})
	}
	return list
}

// toStop takes a stick or knob to a stop and back, twice. What no spring brings back goes to its
// lower end once, and stays.
func toStop(p *world.Plan, c *world.ChannelPlan, end string) (list []moveStep) {
	to, known := map[string]int64{"down": c.Low, "up": c.High}[end]
	back := stickTo(c, c.Low)
	if springs(c) {
		to, known = stickEnds(p, c)[end]
		back = "release " + c.Name
	}
	switch {
	case !known:
		return nil
	case !springs(c) && end == "down":
		return []moveStep{{0, back}}
	}
	for n := range 2 {
		begins := time.Duration(n) * (handHolds + handRests)
		list = append(list, moveStep{begins, stickTo(c, to)}, moveStep{begins + handHolds, back})
	}
	return list
}

func stickTo(c *world.ChannelPlan, width int64) string {
	return fmt.Sprintf("stick %s %d over %v", c.Name, width/int64(time.Microsecond), handTakes)
}

// springs reports a stick that comes back by itself: it stood in the middle at first.
func springs(c *world.ChannelPlan) bool { return c.Start == world.NeutralWidth }

// stickEnds are the ends of a stick by their names: those of the axis that it steers, if one is known.
func stickEnds(p *world.Plan, c *world.ChannelPlan) map[string]int64 {
	opposite := map[string]string{"left": "right", "right": "left", "back": "forward"}
	for axis, stick := range p.Gyro.Sticks {
		if end := world.Axis(axis).End(); stick.Known && stick.Number == c.Number {
			if stick.Way > 0 {
				return map[string]int64{end: c.High, opposite[end]: c.Low}
			}
			return map[string]int64{end: c.Low, opposite[end]: c.High}
		}
	}
	return map[string]int64{"low": c.Low, "high": c.High}
}

// movesOf lists the moves of a bench, a line a control, each with what it does.
func movesOf(p *world.Plan) (lines []string) {
	for i := range p.Channels {
		c := &p.Channels[i]
		switch {
		case c.Heartbeat != nil:
		case len(c.Places) > 1:
			var names []string
			for _, place := range c.Places {
				names = append(names, place.Name)
			}
			lines = append(lines, fmt.Sprintf("%s: through all its places; %s PLACE: to one of %s", c.Name, c.Name, strings.Join(names, ", ")))
		case len(c.Places) == 0 && springs(c):
			var ends []string
			for _, end := range []string{"back", "forward", "left", "right", "low", "high"} {
				if _, known := stickEnds(p, c)[end]; known {
					ends = append(ends, c.Name+" "+end)
				}
			}
			lines = append(lines, strings.Join(ends, ", ")+": to that stop, held, and let go, twice")
		case len(c.Places) == 0:
			lines = append(lines, fmt.Sprintf("%s down: to its lower end; %s up: to its upper end and back, twice", c.Name, c.Name))
		}
	}
	return lines
}

// makeMove puts the steps of a move behind a moment.
func makeMove(bench *script.Driver, at int64, move []moveStep) error {
	for _, m := range move {
		if err := bench.Say(at+int64(m.after), m.step); err != nil {
			return err
		}
	}
	return nil
}

package draft_test

// usual are the answers that most of the models have.
func usual(more map[string]string) map[string]string {
	all := map[string]string{
		"model": "Craft", "wing": "plain", "motor": "yes", "teach": "none", "mode": "1", "gain": "knob", "throttle:cut": "yes",
		"failsafe:flag": "no", "failsafe:throttle": "cut",
	}
	for k, v := range more {
		all[k] = v
	}
	return all
}

func sticksOn(elevator, aileron, rudder int, lo, hi, neutral int64) map[string]stick {
	return map[string]stick{
		"elevator": {elevator, [2]int64{hi, lo}, neutral},
		"aileron":  {aileron, [2]int64{lo, hi}, neutral},
		"rudder":   {rudder, [2]int64{lo, hi}, neutral},
	}
}

// reversed has the ends of some sticks the other way round.
func reversed(s map[string]stick, names ...string) map[string]stick {
	for _, name := range names {
		x := s[name]
		x.ends[0], x.ends[1] = x.ends[1], x.ends[0]
		s[name] = x
	}
	return s
}

func gridOf(levers ...*lever) (list []wantedMode) {
	n := 1
	for _, l := range levers {
		n *= len(l.widths)
	}
	for i := range n {
		rest, at := i, []int{}
		for _, l := range levers {
			at, rest = append(at, rest%len(l.widths)), rest/len(l.widths)
		}
		list = append(list, wantedMode{"mode-" + string(rune('a'+i)), at})
	}
	return list
}

// setMode has a mode for each combination.
func (m *truth) setModes(most int) {
	m.modes = gridOf(m.levers...)
	m.modes = m.modes[:min(most, len(m.modes))]
}

const plainOutputs = `output 1 by aileron 100% corrects roll
output 2 by elevator 100% corrects pitch
output 3 by throttle 100%
output 4 by rudder 100% corrects yaw
`

var plainMoved = map[int]map[string]int{1: {"aileron": 100}, 2: {"elevator": 100}, 3: {"throttle": 100}, 4: {"rudder": 100}}

const axesSetup = "axis roll aileron left 1000\naxis pitch elevator back 2000\naxis yaw rudder right 2000\n"

// tenModels are all airframes, modes on one channel and on two, three to six places, ends and throttles of both senses,
// receivers without a flag.
func tenModels() []*truth {
	reedwing := &truth{name: "tail, four places", stick: sticksOn(1, 2, 4, 1000, 2000, 1500), throttle: 3, idle: 1060, cut: 1000, full: 2000,
		gain: 6, low: 1040, high: 1930, levers: []*lever{spread("mode-1", "aid", 7, 4, 1040, 1930)}, teach: 14, rest: 1040, pressed: 1930,
		beats: 16, setup: "receiver main preset\n", outputs: axesSetup + plainOutputs, moved: plainMoved,
		answers: usual(map[string]string{"teach": "14", "teach:pressed": "1930", "teach:times": "2 5", "failsafe:flag": "yes", "sticks": "2"})}

	grid := &truth{name: "two switches, three and two places", stick: sticksOn(2, 1, 4, 988, 2012, 1500), throttle: 3, idle: 1010, cut: 988, full: 2012,
		gain: 9, low: 1500, high: 2012, levers: []*lever{spread("mode-1", "inner", 11, 3, 988, 2012), spread("mode-2", "outer", 13, 2, 988, 2012)},
		teach: 15, rest: 988, pressed: 2012, beats: 16, setup: "receiver main preset flags none period 9ms\n", outputs: axesSetup + plainOutputs, moved: plainMoved,
		answers: usual(map[string]string{"mode": "2", "teach": "15", "teach:pressed": "2012"})}

	elevons := &truth{name: "elevons, five places, reversed aileron", stick: reversed(sticksOn(3, 2, 4, 1000, 2000, 1500), "aileron"), throttle: 1,
		idle: 1000, cut: 1000, full: 2000, gain: 8, low: 1930, high: 1040, levers: []*lever{spread("mode-1", "dial", 5, 5, 1000, 2000)},
		setup: "receiver main hold wakes neutral flags none period 14ms\ntremble aileron every 300ms..3s\n",
		outputs: axesSetup + "output 1 by aileron 50% elevator -50% corrects roll pitch\n" +
			"output 2 by aileron 50% elevator 50% corrects roll pitch\noutput 3 by throttle 100%\n",
		moved:   map[int]map[string]int{1: {"aileron": 50, "elevator": -50}, 2: {"aileron": 50, "elevator": 50}, 3: {"throttle": 100}},
		answers: usual(map[string]string{"wing": "elevons", "gain:none": "high"})}

	vtail := &truth{name: "V-tail, six places, throttle reversed", stick: sticksOn(4, 3, 1, 1100, 1900, 1520), throttle: 2, idle: 1880, cut: 1950, full: 1050,
		gain: 10, low: 1100, high: 1900, levers: []*lever{spread("mode-1", "dial", 6, 6, 988, 2012)}, teach: 18, rest: 1000, pressed: 2000,
		setup: "receiver main preset flags lost period 11ms\nadapter main clump 16ms\n",
		outputs: axesSetup + "output 1 by aileron 100% corrects roll\n" +
			"output 2 by elevator 50% rudder 50% corrects pitch yaw\n" +
			"output 3 by throttle 100%\noutput 4 by elevator -50% rudder 50% corrects pitch yaw\n",
		moved:   map[int]map[string]int{1: {"aileron": 100}, 2: {"elevator": 50, "rudder": 50}, 3: {"throttle": 100}, 4: {"elevator": -50, "rudder": 50}},
		answers: usual(map[string]string{"wing": "vtail", "teach": "18", "teach:pressed": "2000"})}

	glider := &truth{name: "glider, three places, all reversed, flaps", stick: reversed(sticksOn(1, 2, 3, 988, 2012, 1500), "elevator", "aileron", "rudder"),
		gain: 7, low: 988, high: 2012, levers: []*lever{spread("mode-1", "sw", 8, 3, 988, 2012)}, extra: []*lever{spread("other-1", "flaps", 6, 3, 1100, 1900)},
		others: []string{"switch flaps"}, beats: 12, setup: "receiver main preset flags none period 7ms\n",
		outputs: axesSetup + "output 1 by aileron 100% corrects roll\noutput 2 by elevator 100% corrects pitch\noutput 4 by rudder 100% corrects yaw\n",
		moved:   map[int]map[string]int{1: {"aileron": 100}, 2: {"elevator": 100}, 4: {"rudder": 100}},
		answers: usual(map[string]string{"motor": "no", "gain:law": "folded"})}

	both := spread("mode-1", "wide", 9, 4, 1000, 1900)
	both.also = &lever{name: "narrow", number: 10, places: both.places, widths: []int64{1900, 1600, 1300, 1000}}
	lever2 := &truth{name: "one lever on two channels",
		stick: reversed(sticksOn(1, 2, 4, 1000, 2000, 1500), "rudder"), throttle: 3, idle: 1100, cut: 1000, full: 1900,
		gain: 5, low: 1000, high: 2000, levers: []*lever{both}, setup: "receiver main silent period 14ms\n", outputs: axesSetup + plainOutputs, moved: plainMoved,
		answers: usual(map[string]string{"failsafe:flag": "yes"})}

	digital := &truth{name: "a digital second switch, gain in the receiver",
		stick: sticksOn(2, 3, 4, 988, 2012, 1500), throttle: 1, idle: 988, cut: 988, full: 2012,
		levers: []*lever{spread("mode-1", "inner", 5, 3, 988, 2012), spread("mode-2", "outer", 17, 2, 1000, 2000)}, teach: 12, rest: 988, pressed: 2012,
		setup: "receiver main preset flags none period 9ms\nwire main missing 0.3%\n", outputs: axesSetup + plainOutputs, moved: plainMoved,
		answers: usual(map[string]string{"mode": "2", "gain": "receiver", "throttle:cut": "no", "teach": "12", "teach:pressed": "2012"})}

	wing := &truth{name: "elevons without rudder, two of three places",
		stick:    map[string]stick{"elevator": {1, [2]int64{1050, 1950}, 1500}, "aileron": {4, [2]int64{1050, 1950}, 1480}},
		throttle: 2, idle: 1940, cut: 1990, full: 1000, gain: 11, low: 1000, high: 2000,
		levers: []*lever{spread("mode-1", "a", 7, 3, 1000, 2000), spread("mode-2", "b", 8, 3, 1100, 1900)}, beats: 14,
		setup: "receiver main preset flags none period 22ms\n",
		outputs: "axis roll aileron left 1050\naxis pitch elevator back 1050\n" +
			"output 1 by aileron 50% elevator 50% corrects roll pitch\n" +
			"output 2 by aileron 50% elevator -50% corrects roll pitch\noutput 5 by throttle 100%\n",
		moved:   map[int]map[string]int{1: {"aileron": 50, "elevator": 50}, 2: {"aileron": 50, "elevator": -50}, 5: {"throttle": 100}},
		answers: usual(map[string]string{"wing": "elevons", "mode": "2"})}

	trainer := &truth{name: "no leads, a momentary switch, narrow throws",
		stick: sticksOn(5, 6, 7, 1250, 1750, 1500), throttle: 8, idle: 1150, cut: 1100, full: 1900,
		gain: 1, low: 1100, high: 1900, levers: []*lever{spread("mode-1", "dial", 2, 6, 1100, 1900)},
		extra:  []*lever{{key: "other-1", name: "horn", number: 3, places: []string{"rest", "pressed"}, widths: []int64{1000, 2000}, springs: true}},
		others: []string{"momentary horn"}, teach: 4, rest: 1900, pressed: 1100, setup: "receiver main preset flags none period 14ms\nlink main loss 0.5% burst 2\n",
		answers: usual(map[string]string{"teach": "4", "teach:pressed": "1100"})}

	fixed := &truth{name: "three by three, a knob besides",
		stick: reversed(sticksOn(1, 2, 4, 1000, 2000, 1500), "elevator"), throttle: 3, idle: 1050, cut: 1000, full: 2000,
		levers: []*lever{spread("mode-1", "a", 6, 3, 988, 2012), spread("mode-2", "b", 9, 3, 988, 2012)}, gain: 13, low: 1000, high: 2000, beats: 15,
		setup: "receiver main preset flags failsafe period 7ms\ntremble throttle every 500ms..2s\n", outputs: axesSetup + plainOutputs, moved: plainMoved,
		answers: usual(map[string]string{"mode": "2", "gain:law": "sign-selects", "failsafe:flag": "yes"})}

	list := []*truth{reedwing, grid, elevons, vtail, glider, lever2, digital, wing, trainer, fixed}
	for _, m := range list {
		m.setModes(9)
	}
	return list
}

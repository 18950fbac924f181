package drill_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// starter is sheettest.WholeCounts, read.
func starter(t testing.TB, changes ...string) *sheet.Sheet {
	s, err := sheet.Read("starter", sheettest.WholeCounts(changes...))
	require.NoError(t, err)
	return s
}

func small(t testing.TB, text string) *sheet.Sheet {
	s, err := sheet.Read("small", []byte("sheet: 1\nmodel: M\n"+text))
	require.NoError(t, err)
	return s
}

// prompts lists a drill's prompts as "ID: text".
func prompts(t *testing.T, s *sheet.Sheet, name string) (list []string) {
	p, ok := drill.Find(drill.Plans(s), name)
	require.True(t, ok, name)
	for _, q := range p.Prompts {
		list = append(list, q.ID+": "+q.Text)
	}
	return list
}

func names(s *sheet.Sheet) (list []string) {
	for _, p := range drill.Plans(s) {
		list = append(list, p.Name)
	}
	return list
}

func TestPlansOfTheStarter(t *testing.T) {
	s := starter(t)
	assert.Equal(t, []string{"mode", "gain", "order", "ends", "neutral", "limit-learning", "failsafe", "power-up", "response", "correction", "range"}, names(s))
	assert.Equal(t, []string{
		"mode/damping/back: put inner to back",
		"mode/plain/middle: put inner to middle",
		"mode/upright/front/back/way/1/outer/back: put outer to back",
		"mode/upright/front/back: put inner to front (outer stays at back)",
		"mode/hold-course/front/front: put outer to front (inner stays at front)",
	}, prompts(t, s, "mode"))
	assert.Equal(t, []string{
		"gain/anticlockwise: turn gain fully to anticlockwise",
		"gain/clockwise: turn gain fully to clockwise",
		"gain/centre: turn gain to the centre of its turn",
	}, prompts(t, s, "gain"))
	assert.Equal(t, []string{
		"neutral/sticks: let go of the sticks, all trims centred",
		"neutral/idle: throttle stick fully down, its trim centred, throttle cut off",
		"neutral/cut: throttle stick fully down, throttle cut on",
		"neutral/cut-full: leave throttle cut on and hold the throttle stick fully up: nothing may answer",
	}, prompts(t, s, "neutral"))
	assert.Equal(t, []string{
		"ends/aileron/left: move the right stick slowly and fully to the left (aileron) and hold it there",
		"ends/aileron/right: move the right stick slowly and fully to the right (aileron) and hold it there",
		"ends/elevator/back: move the right stick slowly and fully back, towards you (elevator) and hold it there",
		"ends/elevator/forward: move the right stick slowly and fully forward, away from you (elevator) and hold it there",
		"ends/throttle/full: move the left stick slowly and fully up (throttle) and hold it there",
		"ends/throttle/idle: move the left stick slowly and fully down (throttle) and hold it there",
		"ends/rudder/left: move the left stick slowly and fully to the left (rudder) and hold it there",
		"ends/rudder/right: move the left stick slowly and fully to the right (rudder) and hold it there",
		"ends/gain/anticlockwise: turn gain slowly and fully to anticlockwise; if it stands there already, turn it away first",
		"ends/gain/clockwise: turn gain slowly and fully to clockwise; if it stands there already, turn it away first",
	}, prompts(t, s, "ends"))
	ranging := prompts(t, s, "range")
	require.Len(t, ranging, 5)
	assert.Contains(t, ranging[0], "range/power: type which power")
	assert.Contains(t, ranging[4], "range/walk: walk from mark to mark; at each stand still")
	learning := prompts(t, s, "limit-learning")
	require.Len(t, learning, 4)
	assert.Contains(t, learning[0], "limit-learning/ready: full rates")
	assert.Contains(t, learning[1], "limit-learning/gesture: press teach and let it go 3 times within 3.0 s; hands clear")
	assert.Contains(t, learning[2], "limit-learning/limits: go on step by step")
	assert.Contains(t, learning[3], "limit-learning/end: end it as")
}

// What the stir drill tests is a supply, so the sheet must name it.
func TestStirNamesTheSupply(t *testing.T) {
	const sticks = "channels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}}\n  2: {name: flaps, kind: stick, ends: {up: 988, down: 2012}}\n"
	assert.NotContains(t, names(small(t, sticks)), drill.Stir)
	assert.NotContains(t, names(small(t, sticks+"soak: {distance: 3 m}\n")), drill.Stir)
	s := small(t, sticks+"soak: {receiver_supply: the regulator of the controller}\n")
	got := prompts(t, s, drill.Stir)
	require.Len(t, got, 2)
	assert.Contains(t, got[0], "what the sheet calls the regulator of the controller")
	assert.Contains(t, got[1], "stir aileron, flaps hard")
	p, _ := drill.Find(drill.Plans(s), drill.Stir)
	assert.False(t, p.Prompts[0].Until.Stirs, "they rest")
	assert.True(t, p.Prompts[1].Until.Stirs)
	all := strings.Join(p.Cautions, "\n")
	assert.Contains(t, all, "the motor leads come off, and its plug stays in")
	assert.Contains(t, all, "drive can't run")
	assert.Contains(t, all, "driven against a stop")
}

// What comes behind the gesture is the sheet's, in its words and its order.
func TestStepsOfAProcedureAreTheSheets(t *testing.T) {
	text := strings.Replace(string(sheettest.TwoSwitches()), "allowed: in-drill         #",
		"then: [tip the nose down, \"wait for two beeps\"]\n    allowed: in-drill #", 1)
	s, err := sheet.Read("steps", []byte(text))
	require.NoError(t, err)
	got := prompts(t, s, "limit-learning")
	require.Len(t, got, 5)
	assert.Equal(t, []string{"limit-learning/then/1: tip the nose down", "limit-learning/then/2: wait for two beeps"}, got[2:4])
	for _, then := range []string{"[]", "step", "[[a]]"} {
		_, err := sheet.Read("steps", []byte(strings.Replace(text, "[tip the nose down, \"wait for two beeps\"]", then, 1)))
		require.Error(t, err, then)
	}
}

// Mode 1: left elevator and rudder; mode 2: left throttle and rudder; mode 3:
// left elevator and aileron; mode 4: left throttle and aileron (common practice).
func TestOrderSpeaksInTheStickModeOfTheBuilder(t *testing.T) {
	for mode, stick := range map[int]map[string]string{
		0: {"aileron": "aileron", "elevator": "elevator", "throttle": "throttle", "rudder": "rudder"},
		1: {"aileron": "the right stick", "elevator": "the left stick", "throttle": "the right stick", "rudder": "the left stick"},
		2: {"aileron": "the right stick", "elevator": "the right stick", "throttle": "the left stick", "rudder": "the left stick"},
		3: {"aileron": "the left stick", "elevator": "the left stick", "throttle": "the right stick", "rudder": "the right stick"},
		4: {"aileron": "the left stick", "elevator": "the right stick", "throttle": "the left stick", "rudder": "the right stick"},
	} {
		line := "sticks: 2  "
		replacement := fmt.Sprintf("sticks: %d  ", mode)
		if mode == 0 {
			replacement = "# "
		}
		function := func(name string) string {
			if mode == 0 {
				return ""
			}
			return " (" + name + ")"
		}
		var want []string
		for _, c := range []struct {
			name      string
			ends, how [2]string
			neutral   bool
		}{
			{"aileron", [2]string{"left", "right"}, [2]string{"to the left", "to the right"}, true},
			{"elevator", [2]string{"back", "forward"}, [2]string{"back, towards you", "forward, away from you"}, true},
			{"throttle", [2]string{"full", "idle"}, [2]string{"up", "down"}, false},
			{"rudder", [2]string{"left", "right"}, [2]string{"to the left", "to the right"}, true},
		} {
			for i := range c.ends {
				want = append(want, fmt.Sprintf("order/%s/%s: hold %s fully %s%s", c.name, c.ends[i], stick[c.name], c.how[i], function(c.name)))
			}
			if c.neutral {
				want = append(want, fmt.Sprintf("order/%s/neutral: let %s go back to its centre%s", c.name, stick[c.name], function(c.name)))
			}
		}
		assert.Equal(t, want, prompts(t, starter(t, line, replacement), "order"), "mode %d", mode)
	}
}

func TestAPlanIsThereOnlyWhereTheSheetAllowsIt(t *testing.T) {
	switches := "channels:\n  5: {name: flaps, kind: switch, positions: {up: 988, down: 2012}}\n"
	assert.Empty(t, names(small(t, switches)), "nothing to drill")

	s := small(t, "channels:\n  3: {name: power, kind: throttle, cut: 988, full: 2012}\n")
	assert.Equal(t, []string{"order", "ends", "power-up", "range"}, names(s), "no neutral, no idle: no neutral drill")
	assert.Equal(t, []string{"order/power/full: hold power fully up", "order/power/cut: hold power fully down"}, prompts(t, s, "order"))

	s = small(t, "channels:\n  3: {name: power, kind: throttle, cut: 1000, idle: 1000, full: 2012}\n")
	assert.Len(t, prompts(t, s, "neutral"), 1, "a cut that equals idle can't be told from it")

	s = starter(t, "    kind: knob ", "    kind: fixed #", "ends: {anticlockwise: 1500, clockwise: 2012}", "value: 1756")
	assert.NotContains(t, names(s), "gain", "a fixed gain is not turned")

	s = starter(t, "allowed: in-drill ", "allowed: never ")
	assert.NotContains(t, names(s), "limit-learning", "no drill for what is never to happen")

	s = starter(t, "  limit-learning: ", "  calibration: ")
	assert.NotContains(t, names(s), "limit-learning", "another gesture")
}

func TestTextsFollowTheKindOfControl(t *testing.T) {
	s := small(t, `sticks: 1
channels:
  1: {name: Elevator, kind: stick, ends: {up: 988, down: 2012}}
  2: {name: tilt, kind: stick, ends: {left: 988, right: 2012}}
  5: {name: sel, kind: switch, positions: {in: 988, centre: 1500, out: 2012}}
  6: {name: level, kind: momentary, rest: 988, pressed: 2012}
  7: {name: dial, kind: knob, ends: {low: 988, high: 2012}}
  8: {name: set, kind: fixed, value: 1500}
stabiliser:
  windows: {from: guess}
  modes:
    one: {when: [{level: [1500, 3000]}], wanted_at: [{level: pressed, dial: high, set: value}]}
    two: {when: [{level: [0, 1500]}], wanted_at: [{level: rest}]}
gestures:
  limit-learning: {channel: sel, from: centre, times: 1, within: 3500ms, allowed: in-drill}
`)
	assert.Equal(t, []string{
		"mode/one/pressed/high/value/way/1/dial/high: turn dial fully to high",
		"mode/one/pressed/high/value: hold level pressed (dial stays at high)",
		"mode/two/rest: let go of level",
	}, prompts(t, s, "mode"))
	assert.Equal(t, "order/Elevator/up: hold the left stick fully to the end that the sheet calls up (Elevator)", prompts(t, s, "order")[0])
	assert.Equal(t, "order/tilt/left: hold tilt fully to the left", prompts(t, s, "order")[3])
	assert.Contains(t, prompts(t, s, "limit-learning")[1], "move sel from centre to another position and back once within 3.5 s")
	assert.NotContains(t, names(s), "neutral", "no neutral is written down")
}

func TestEveryDrillBeginsWithCautions(t *testing.T) {
	for _, p := range drill.Plans(starter(t)) {
		all := strings.Join(p.Cautions, "\n")
		for _, want := range []string{
			"propeller is off AND the drive can't run", "the speed controller's whole plug out (its signal lead alone leaves two supplies in parallel)",
			"clear of the control surfaces", "come first",
		} {
			assert.Contains(t, all, want, p.Name)
		}
		assert.NotEmpty(t, p.Purpose)
		asks := func(acts ...drill.Act) bool {
			return slices.ContainsFunc(p.Prompts, func(q drill.Prompt) bool { return slices.Contains(acts, q.Asks.Act) })
		}
		assert.Equal(t, asks(drill.ActTilt, drill.ActOpposite, drill.ActProp, drill.ActSide), p.Tilts, p.Name)
		assert.Equal(t, p.Tilts, strings.Contains(all, "holds it firmly by its body"), "%s: the model is held where it is tilted", p.Name)
		assert.NotEqual(t, p.Tilts, strings.Contains(all, "stands firm"), "%s: nobody can lift a model that stands", p.Name)
		assert.True(t, strings.Contains(all, "driven against a stop") || !asks(drill.ActHold, drill.ActReach), "%s: servos run to their ends", p.Name)
		ids := map[string]bool{}
		for _, q := range p.Prompts {
			assert.False(t, ids[q.ID], q.ID)
			assert.True(t, strings.HasPrefix(q.ID, p.Name+"/"), q.ID)
			ids[q.ID] = true
		}
	}
	p, _ := drill.Find(drill.Plans(starter(t)), "limit-learning")
	assert.Contains(t, strings.Join(p.Cautions, "\n"), "moves the servos by themselves")
}

// Servos that run to their ends may meet a stop, and a retract that nobody thought of.
func TestCautionsOfDrillsThatRunServosToTheirEnds(t *testing.T) {
	s := small(t, `channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  5: {name: retracts, kind: switch, positions: {up: 988, down: 2012}}
  6: {name: mode, kind: switch, positions: {in: 988, out: 2012}}
  7: {name: crow, kind: knob, ends: {none: 988, full: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    one: {when: [{mode: [1500, 3000]}], wanted_at: [{mode: out}]}
`)
	for _, name := range []string{"ends", "order"} {
		p, ok := drill.Find(drill.Plans(s), name)
		require.True(t, ok)
		all := strings.Join(p.Cautions, "\n")
		assert.Contains(t, all, "driven against a stop")
		assert.Contains(t, all, "on a stand")
		assert.Contains(t, all, "by a touch, so it is free, or out of power: retracts, crow; ")
		assert.Contains(t, p.Cautions[len(p.Cautions)-1], "come first")
	}
	p, _ := drill.Find(drill.Plans(s), "mode")
	assert.NotContains(t, strings.Join(p.Cautions, "\n"), "retracts")
	p, _ = drill.Find(drill.Plans(small(t, "channels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}}\n")), "ends")
	assert.NotContains(t, strings.Join(p.Cautions, "\n"), "retracts", "a model without any")
}

//go:build corpus

package session_test

import (
	"bytes"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/simtest"
)

// The models of the corpus, all invented, and each as unlike the others as the sheet
// allows. A bench is the settings of the simulated one; its receiver stands in the
// member, since that is what differs from session to session.

// reedwing is the starter's model; busOnly leaves out the servo leads.
func reedwing() string { return string(sheet.Starter()) }

func busOnly(text string) string {
	_, leads, _ := bytes.Cut([]byte(text), []byte("\n  leads:"))
	line, _, _ := bytes.Cut(leads, []byte("\n\n"))
	return string(bytes.Replace([]byte(text), append([]byte("\n  leads:"), line...), nil, 1))
}

const reedwingBench = simtest.Reedwing

const reedwingPresets = `preset main throttle 1000
preset main aid first
preset main strength 1040
preset main teach rest
`

const reedwingLeads = `board leads of main
adapter leads clump 48ms
axis roll aileron left 1000
axis pitch elevator back 2000
axis yaw rudder right 2000
gyro gain strength none 1040 full 1930
gyro off when aid 0 1180
gyro rate when aid 1180 1480
gyro level when aid 1480 1780
gyro rate when aid 1780 3000
output 1 by aileron 100% corrects roll every 30ms
output 2 by elevator 100% corrects pitch every 30ms
output 3 by throttle 100% every 30ms
output 4 by rudder 100% corrects yaw every 30ms
`

// gullpost has its modes on two switches in one grid. What is frozen is its own in gain
// and gesture, however the sheet that tests share may change.
func gullpost() string {
	return strings.NewReplacer(
		"ends: {anticlockwise: 1500, clockwise: 2012}   # one side only, so that the middle of the turn is half gain", "ends: {low: 1100, high: 1900}",
		"once the gain is found, many replace it by:  kind: fixed  with  value: 1756", "or  kind: fixed  with the value that was found",
		"law: folded                 # folded = none at zero, full at both ends; one-sided = full at one end;",
		"law: one-sided              # folded = none at zero, full at both ends; one-sided = full at one end;",
		"zero: 1500                  # the width of no", "zero: 1100                  # the width of no",
		"full: [988, 2012]           # the widths of full gain: two, or one with one-sided (full: 2012)", "full: 1900",
		"times: 3 ", "times: 4 ", "within: 3s", "within: 7s",
		"gain: 1756                # half gain; neutral here would be no stabilisation at all", "gain: 1450",
	).Replace(string(sheettest.TwoSwitches()))
}

var (
	gullpostBench   = strings.Replace(simtest.Model, "gain 1756 stops 1500 2012", "gain 1450 stops 1100 1900", 1)
	gullpostPresets = strings.Replace(simtest.Presets, "gain 1756", "gain 1450", 1)
)

// thermwisp is a glider without a throttle: reversed ends, flaps on a knob, one mode
// switch on a digital channel, a gain that is set in the receiver.
const thermwisp = `sheet: 1
model: Thermwisp 2300
sticks: 1
taps:
  main: {kind: bus, carries: heard}
scale: {counts: [172, 1811], us: [988, 2012]}
tolerance: {position: 12 us, preset: 12 us, neutral: 8 us}
channels:
  1: {name: rudder, kind: stick, ends: {left: 2000, right: 1000}, neutral: 1500}
  2: {name: flaps, kind: knob, ends: {up: 1100, down: 1900}}
  4: {name: aileron, kind: stick, ends: {left: 1900, right: 1100}, neutral: 1500}
  7: {name: elevator, kind: stick, ends: {back: 1050, forward: 1950}, neutral: 1500}
  10: {name: tow, kind: momentary, rest: 1900, pressed: 1100}
  17: {name: helper, kind: switch, positions: {away: 988, near: 2012}}
gain: {law: in-receiver}
stabiliser:
  windows: {from: measured}
  modes:
    bare: {when: [{helper: [0, 1500]}], wanted_at: [{helper: away}], does: nothing}
    calm: {when: [{helper: [1500, 3000]}], wanted_at: [{helper: near}], does: returns}
  margin: 200 us
gestures:
  tow-release: {channel: tow, from: rest, to: pressed, times: 1, within: 1s, allowed: always}
failsafe:
  flag: optional
  within: 2s
  heard: {default: 1500, flaps: down, tow: rest, helper: hold}
mixes_wanted: [{from: flaps, to: elevator, at_most: 60 us}]
outputs:
  1: {surface: aileron, moved_by: {aileron: 1.0}, corrects: [roll]}
  2: {surface: left tail, moved_by: {elevator: 0.6, rudder: 0.4}, corrects: [pitch, yaw]}
  3: {surface: right tail, moved_by: {elevator: -0.6, rudder: 0.4}, corrects: [pitch, yaw]}
link: {missed_at_most: "0.5 %"}
`

const thermwispBench = `channel 1 rudder 1500 stops 1000 2000
channel 2 flaps 1100 stops 1100 1900
channel 4 aileron 1500 stops 1100 1900
channel 7 elevator 1500 stops 1050 1950
channel 10 tow 1900
place tow rest 1900
place tow pressed 1100
channel 17 helper 988
place helper away 988
place helper near 2012
`

// brackwater is a flying wing: its widths in percent, a sign-selecting gain at a fixed
// value, six places on one dial, a mark button and a digital rescue switch.
const brackwater = `sheet: 1
model: Brackwater 620
sticks: 3
taps:
  tail: {kind: bus, carries: unknown}
  leads: {kind: pulses}
scale: {counts: [172, 1811], us: [988, 2012]}
percent: {zero: 1500, full: 1900}
tolerance: {position: 10 us, preset: 10 us, neutral: 6 us}
channels:
  3: {name: pitch, kind: stick, ends: {back: -100 %, forward: +100 %}, neutral: 0 %}
  5: {name: roll, kind: stick, ends: {left: +100 %, right: -100 %}, neutral: 0 %}
  6: {name: thrust, kind: throttle, drives: motor, cut: 1000, idle: 1100, full: 1900}
  8: {name: vigour, kind: fixed, value: 1700}
  9: {name: dial, kind: switch, positions: {one: 1100, two: 1260, three: 1420, four: 1580, five: 1740, six: 1900}}
  12: {name: note, kind: momentary, rest: 1100, pressed: 1900}
  18: {name: rescue, kind: momentary, rest: 988, pressed: 2012}
gain: {channel: vigour, law: sign-selects, zero: 1500, full: [1100, 1900]}
stabiliser:
  windows: {from: manual}
  modes:
    raw:  {when: [{dial: [0, 1340]}], wanted_at: [{dial: one}, {dial: two}], does: nothing}
    firm: {when: [{dial: [1340, 1500]}], wanted_at: [{dial: three}], does: returns}
    soft: {when: [{dial: [1500, 1660]}], wanted_at: [{dial: four}]}
    flat: {when: [{dial: [1660, 1820]}], wanted_at: [{dial: five}], does: stays}
  margin: 40 us
  level_now: {channel: rescue, when: pressed}
failsafe:
  flag: required
  within: 1s
  heard: {default: hold, thrust: {at_most: 1010}, dial: one, rescue: rest}
  leads: {default: hold, motor: stops}
outputs:
  1: {surface: left elevon, moved_by: {roll: 0.5, pitch: -0.5}, corrects: [roll, pitch]}
  2: {surface: right elevon, moved_by: {roll: 0.5, pitch: 0.5}, corrects: [roll, pitch]}
  5: {surface: motor, moved_by: {thrust: 1.0}}
mark_button: {channel: note, when: pressed}
link: {missed_at_most: "0.1 %"}
`

const brackwaterBench = `channel 3 pitch 1500 stops 1100 1900
channel 5 roll 1500 stops 1100 1900
channel 6 thrust 1100 stops 1100 1900
cutoff thrust 1000
channel 8 vigour 1700
channel 9 dial 1100
place dial one 1100
place dial two 1260
place dial three 1420
place dial four 1580
place dial five 1740
place dial six 1900
channel 12 note 1100
place note rest 1100
place note pressed 1900
channel 18 rescue 988
place rescue rest 988
place rescue pressed 2012
`

const brackwaterPresets = `preset tail thrust 1000
preset tail dial one
preset tail rescue rest
`

const brackwaterLeads = `board leads of tail clock ceramic inputs 5
adapter leads clump 48ms
axis roll roll left 1900
axis pitch pitch back 1100
gyro gain vigour none 1500 full 1100 1900
gyro off when dial 0 1340
gyro rate when dial 1340 1660
gyro level when dial 1660 1820
output 1 by roll 50% pitch -50% corrects roll pitch every 30ms
output 2 by roll 50% pitch 50% corrects roll pitch every 30ms
output 5 by thrust 100% loss stops every 30ms
`

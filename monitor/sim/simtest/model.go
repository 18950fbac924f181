// Package simtest has, for tests, the two models that many of them share as a simulated bench,
// and plays of scripts from which frames and truths can be taken.
package simtest

import "benchproof.example/monitor/sheet/sheettest"

// Sheet is the set-up sheet of Model: modes on two switches in one grid.
func Sheet() []byte { return sheettest.TwoSwitches() }

// Model is the transmitter of that model, in lines of a script: its controls stand where the
// sheet has them. It has no receiver and says nothing of the hands.
const Model = `channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 1010 stops 1010 2012
cutoff throttle 988
channel 4 rudder 1500
channel 9 gain 1756 stops 1500 2012
` + ModeSwitches + Teach + `channel 16 beat 1500
heartbeat beat 1200 1800 every 2s
`

// ModeSwitches are the two switches that ask for a mode.
const ModeSwitches = `channel 11 inner 988
place inner back 988
place inner middle 1500
place inner front 2012
channel 13 outer 988
place outer back 988
place outer front 2012
`

// Teach is the momentary switch of the model.
const Teach = `channel 15 teach 988
place teach rest 988
place teach pressed 2012
`

// Presets are those of its receiver, which is called main, where it is a preset one.
const Presets = `preset main throttle 988
preset main inner middle
preset main gain 1756
preset main teach rest
`

// Rig is a channel of each sort and two receivers, in eleven lines.
const Rig = `channel 1 aileron 1500
channel 11 inner 988
place inner back 988
place inner middle 1500
place inner front 2012
` + Teach + `channel 16 beat 1000
receiver main preset
receiver rear hold
`

// Reedwing is the transmitter of the starter sheet's model: modes on one switch, a knob.
const Reedwing = `channel 1 elevator 1500 stops 1000 2000
channel 2 aileron 1500 stops 1000 2000
channel 3 throttle 1060 stops 1060 2000
cutoff throttle 1000
channel 4 rudder 1500 stops 1000 2000
channel 6 strength 1485 stops 1040 1930
channel 7 aid 1330
place aid first 1040
place aid second 1330
place aid third 1640
place aid fourth 1930
channel 14 teach 1040
place teach rest 1040
place teach pressed 1930
channel 16 beat 1500
heartbeat beat 1200 1800 every 2s
`

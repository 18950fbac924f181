//go:build corpus

package session_test

import (
	"time"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// member is a session of the corpus.
type member struct {
	name, about  string
	sheet, bench string   // no sheet: the built program makes it
	steps        string   // what hands do, as in a script; before the drills
	drills       []string // followed one after the other
	home         []string // steps that bring knob and switches to where they rest
	until        string   // the beginning of the prompt at which they give a drill up, "" for never
	lasts        time.Duration
	every        int // beats from one checkpoint to the next; 0: none in so short a sitting
	segment      unit.Duration
	says         []said
	make         func(*making) // in place of one sitting
}

// said is an input of a person.
type said struct {
	at   time.Duration
	kind event.InputKind
	text string
}

const (
	slow   = "receiver main preset period 14ms after 700ms\nadapter main clump 16ms\n" // half as large a recording
	slower = "receiver main preset period 14ms after 700ms\nadapter main clump 48ms\n" // and a third of that
)

const reedwingRound = `0s signal on
1.2s stick aileron 1000 over 400ms
1.9s stick aileron 2000 over 500ms
2.6s release aileron
3.2s stick elevator 2000 over 400ms
3.9s stick elevator 1000 over 500ms
4.6s release elevator
5.2s aid first
6s aid third
6.8s aid fourth
7.6s stick strength 1930 over 600ms
8.6s press teach for 300ms
`

const gullpostRound = `0s signal on
1.2s inner middle
2s inner front
2.8s outer front
3.6s stick throttle 1600 over 400ms
4.4s stir aileron elevator for 1500ms
`

const thermwispRound = `0s signal on
1.2s helper near
2s stick flaps 1900 over 800ms
3.2s stick rudder 2000 over 400ms
3.9s release rudder
4.4s press tow for 300ms
5.2s stick aileron 1100 over 400ms
5.9s stick aileron 1900 over 500ms
6.6s release aileron
7.2s stick elevator 1050 over 400ms
7.9s stick elevator 1950 over 500ms
8.6s release elevator
`

const brackwaterRound = `0s signal on
1.2s stick roll 1900 over 400ms
1.9s stick roll 1100 over 500ms
2.6s release roll
3.2s stick pitch 1100 over 400ms
3.9s stick pitch 1900 over 500ms
4.6s release pitch
5.2s dial two
5.8s dial three
6.4s dial four
7s dial five
`

var corpus = []member{
	{name: "reedwing-all-well", about: "sticks, modes, the knob, then a loss with presets: nothing is seen wrong",
		sheet: busOnly(reedwing()), bench: reedwingBench + slower + reedwingPresets,
		steps: reedwingRound + "10s stick throttle 1500 over 500ms\n10.6s stir aileron elevator for 4s\n12s signal off\n" +
			"17s stick throttle 1060 over 500ms\n17.6s aid second\n18s signal on\n", lasts: 23 * time.Second, every: 20},
	{name: "reedwing-holds", about: "a receiver that holds and says nothing: the heartbeat and frozen sticks tell it",
		sheet: busOnly(reedwing()), bench: reedwingBench + "receiver main hold period 14ms flags none\n" +
			"adapter main clump 48ms\n",
		steps: "0s signal on\n1s stir aileron elevator rudder for 9s\n4s signal off\n9s signal on\n", lasts: 14 * time.Second},
	{name: "reedwing-seen-wrong", about: "a place of the switch that lands elsewhere, a reversed stick and a clipped " +
		"one, seen in a drill that is given up", sheet: busOnly(reedwing()),
		bench: reedwingBench + slower + reedwingPresets + "fault lands aid third 1540\nfault reverse elevator\nfault clip aileron 1000 1700\n",
		steps: "0s signal on\n1.2s aid first\n1.9s aid third\n2.6s aid fourth\n3.3s aid second\n", drills: []string{"order"},
		until: "order/throttle", lasts: time.Minute},
	{name: "reedwing-killed", about: "the program itself, killed while the demo ran"},
	{name: "reedwing-resumed", about: "three sittings on three days in one folder, the second one cut short by a kill",
		sheet: busOnly(reedwing()), bench: reedwingBench + slower + reedwingPresets,
		steps: reedwingRound, lasts: 7400 * time.Millisecond, every: 5, make: (*making).resumed},
	{name: "reedwing-torn", about: "a power cut: recording, timeline and checkpoints end in the middle of a line or a " +
		"block", sheet: busOnly(reedwing()), bench: reedwingBench + slow + reedwingPresets,
		steps: reedwingRound, lasts: 10 * time.Second, every: 4, make: (*making).torn},
	{name: "reedwing-gap", about: "the disk is full for five seconds: the recording has a gap, the timeline has not",
		sheet: busOnly(reedwing()), bench: reedwingBench + slow + reedwingPresets,
		steps: reedwingRound, lasts: 14 * time.Second, every: 6, make: (*making).gap},
	{name: "reedwing-judged-again", about: "a journal by a judge with fewer events, resumed by a later one: its own " +
		"judgement lies beside it", sheet: busOnly(reedwing()), bench: reedwingBench + slower + reedwingPresets,
		steps: reedwingRound, lasts: 7 * time.Second, every: 5, make: (*making).judgedAgain},
	{name: "reedwing-first-checkpoints", about: "checkpoints as the first builds wrote them: neither whose they are nor " +
		"who judged", sheet: busOnly(reedwing()), bench: reedwingBench + slow + reedwingPresets,
		steps: reedwingRound, lasts: 9 * time.Second, every: 4, make: (*making).firstCheckpoints},
	{name: "reedwing-leads", about: "bus and servo leads; a tilt without a drill; a loss", sheet: reedwing(),
		bench: reedwingBench + slower + reedwingPresets + reedwingLeads,
		steps: "0s signal on\n1.2s stick aileron 1000 over 400ms\n1.9s stick aileron 2000 over 500ms\n" +
			"2.6s release aileron\n3.2s stick elevator 2000 over 400ms\n3.9s release elevator\n4.5s aid third\n" +
			"5.3s tilt pitch 20 over 400ms\n6.5s tilt pitch 0 over 400ms\n7.5s stick throttle 1500 over 400ms\n" +
			"8.1s signal off\n15.5s signal on\n", lasts: 17 * time.Second},
	{name: "reedwing-learns", about: "the drill for limit learning, given up at the second of the steps that the sheet " +
		"gives", sheet: busOnly(reedwing()), bench: reedwingBench + slower + reedwingPresets,
		steps: "0s signal on\n", drills: []string{"limit-learning"}, until: "limit-learning/then/2", lasts: time.Minute},
	{name: "gullpost-failsafe", about: "the failsafe drill; given up before its second loss, two minutes later",
		sheet: busOnly(gullpost()), bench: gullpostBench + slower + gullpostPresets,
		steps: "0s signal on\n", drills: []string{drill.Failsafe},
		home: []string{"inner back", "outer back", "stick gain 1450 over 400ms"}, until: "failsafe/later",
		lasts: 2 * time.Minute},
	{name: "gullpost-modes", about: "the drill for modes on two switches", sheet: busOnly(gullpost()), bench: gullpostBench + slower + gullpostPresets,
		steps: "0s signal on\n", drills: []string{"mode"}, lasts: time.Minute, every: 10},
	{name: "gullpost-two-buses", about: "two receivers, one of them unplugged for a while; one loses the signal, then both", sheet: twoBuses(gullpost()),
		bench: gullpostBench + slow + "receiver rear silent period 14ms footer slots after 600ms\n" + gullpostPresets +
			"adapter rear clump 16ms\nlink rear loss 0.5% burst 3\n",
		steps: gullpostRound + "5s unplug rear\n6.5s plug rear\n7.5s signal off main\n9.5s signal on main\n10s signal off\n" +
			"12.5s signal on\n", lasts: 14 * time.Second},
	{name: "gullpost-damaged", about: "characters hit, strayed and marked bad; frames left out; a computer that stalls; a hiccup", sheet: busOnly(gullpost()),
		bench: gullpostBench + slow + gullpostPresets + "link main loss 1% burst 3\nwire main missing 1% damage 0.2% noise 2\n",
		steps: gullpostRound + "6.2s stall for 800ms\n7.5s mute main for 400ms\n8.3s garble main 2 frames flags both " +
			"aileron 1200\n9s hiccup main for 300ms\n", lasts: 10 * time.Second, every: 8},
	{name: "gullpost-powerup", about: "the power-up drill with a receiver that wakes with all channels at neutral", sheet: busOnly(gullpost()),
		bench: gullpostBench + "receiver main preset period 14ms after 700ms wakes neutral\nadapter main clump 48ms\n" + gullpostPresets,
		steps: "0s signal on\n", drills: []string{drill.PowerUp}, home: []string{"inner back", "outer back", "stick gain 1450 over 400ms"}, lasts: time.Minute},
	{name: "thermwisp-digital", about: "a glider without a throttle, its mode switch on a digital channel, a receiver with presets and a ramp", sheet: thermwisp,
		bench: thermwispBench + "receiver main preset period 14ms flags failsafe ramp 300ms\nadapter main clump 48ms\n" +
			"preset main rudder 1500\npreset main aileron 1500\npreset main elevator 1500\npreset main flaps 1900\n" +
			"preset main tow rest\n",
		steps: thermwispRound + "9.4s stick flaps 1300 over 400ms\n10s stir rudder aileron for 3s\n11.5s signal off\n" +
			"16s signal on\n", lasts: 20 * time.Second, every: 15},
	{name: "thermwisp-reopened", about: "remarks, what was seen right made stale, a drill that is refused, one that is " +
		"abandoned", sheet: thermwisp, bench: thermwispBench + "receiver main hold period 14ms\nadapter main clump 48ms\n",
		steps: thermwispRound + "13s stick aileron 1100 over 400ms\n13.7s stick aileron 1900 over 500ms\n14.4s release aileron\n",
		says: []said{{8500 * time.Millisecond, event.InputDrillStep, `{"drill":"gain","do":"begin"}`},
			{9 * time.Second, event.InputMark, "new aileron servo \u2013 \"long horn\""},
			{9500 * time.Millisecond, event.InputReopen, "aileron"},
			{10 * time.Second, event.InputDrillStep, `{"drill":"ends","do":"begin","by":"Ann","asks":true}`},
			{11 * time.Second, event.InputDrillStep, `{"drill":"ends","do":"confirm"}`},
			{12500 * time.Millisecond, event.InputDrillStep, `{"drill":"ends","do":"abandon"}`}, {16 * time.Second, event.InputReopen,
				"everything"}}, lasts: 18 * time.Second},
	{name: "brackwater-response", about: "a response drill, given up after its first place, on a flying wing, with a " +
		"capture board whose clock is off", sheet: brackwater,
		bench: brackwaterBench + "receiver tail preset period 14ms\nadapter tail clump 48ms\n" + brackwaterPresets + brackwaterLeads,
		steps: "0s signal on\n", drills: []string{drill.Response}, until: "response/raw/2", lasts: 2 * time.Minute},
	{name: "brackwater-marks", about: "the mark button, the digital rescue switch, a place that no window covers, the " +
		"board unplugged for a while", sheet: brackwater,
		bench: brackwaterBench + "receiver tail preset period 14ms\nadapter tail clump 48ms\n" + brackwaterPresets + brackwaterLeads,
		steps: "0s signal on\n1.2s stick roll 1900 over 400ms\n1.9s release roll\n2.5s dial six\n" +
			"3.3s press note for 300ms\n4.1s press rescue for 500ms\n4.9s unplug leads\n6.2s plug leads\n",
		lasts: 8 * time.Second},
	{name: "brackwater-second", about: "no failsafe: a second transmitter is heard; then the receiver's supply fails", sheet: brackwater,
		bench: brackwaterBench + "receiver tail preset period 14ms\nadapter tail clump 48ms\n" + brackwaterPresets + "second moves gap 200ms\n",
		steps: brackwaterRound + "8s stir roll pitch for 2s\n9s signal off\n13s signal on\n14.5s power tail off\n15.5s power tail on\n", lasts: 19 * time.Second},
	{name: "reedwing-segments", about: "format 2: two sittings in segments of four seconds, some packed, some plain",
		sheet: busOnly(reedwing()), bench: reedwingBench + slower + reedwingPresets,
		steps: reedwingRound + "10s stick throttle 1500 over 500ms\n10.6s stir aileron elevator for 4s\n12s signal off\n" +
			"17s stick throttle 1060 over 500ms\n17.6s aid second\n18s signal on\n",
		says:  []said{{9 * time.Second, event.InputMark, "from here on with the throttle"}, {9500 * time.Millisecond, event.InputReopen, "strength"}},
		lasts: 22 * time.Second, every: 10, segment: 4 * unit.Second, make: (*making).twice},
	{name: "reedwing-transposed", about: "format 2 with transposed bundles: bus and servo leads in segments of four seconds, some packed, some plain",
		sheet: reedwing(), bench: reedwingBench + slower + reedwingPresets + reedwingLeads,
		steps: reedwingRound + "10s stick throttle 1500 over 500ms\n10.6s stir aileron elevator for 4s\n12s signal off\n" +
			"17s stick throttle 1060 over 500ms\n17.6s aid second\n18s signal on\n",
		says:  []said{{9 * time.Second, event.InputMark, "from here on with the throttle"}, {9500 * time.Millisecond, event.InputReopen, "strength"}},
		lasts: 22 * time.Second, every: 10, segment: 4 * unit.Second, make: (*making).twice},
}

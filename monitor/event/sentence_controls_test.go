package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestFindings(t *testing.T) {
	const ms = unit.Millisecond
	for _, c := range []struct {
		kind, about string
		data        any
		want        string
	}{
		{event.GestureMade, "switch:teach", event.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3, SpanNS: 700 * ms},
			"limit-learning: the movement that sets it off was made, 3 times within 0.70 s"},
		{event.TravelClipped, "channel:3", event.TravelClippedData{Tap: "main", Channel: 3, Count: 2047, WidthNS: 2_159_375, DwellNS: 56 * ms},
			"channel 3 stands at 2047 counts, an end of the bus's range"},
		{event.TravelFree, "channel:3", event.TravelClippedData{Tap: "main", Channel: 3, Count: 2047, WidthNS: 2_159_375, DwellNS: 133 * ms},
			"channel 3 left the end of the bus's range"},
		{event.ValuesStill, "tap:main", event.ValuesStillData{Tap: "main", ForNS: 301 * ms, Because: "stirred"},
			"main: A LOSS WITHOUT A FLAG, it seems: sticks froze in motion for 0.30 s, and leapt"},
		{event.ValuesMoving, "tap:main", event.ValuesStillData{Tap: "main", ForNS: 4000 * ms, Because: "stirred"},
			"main: values move again, after 4.00 s"},
		{event.ValuesMoving, "tap:main", event.ValuesStillData{Tap: "main", Because: "heartbeat"},
			"main: the heartbeat beats"},
		{event.ValuesPaused, "tap:main", event.ValuesStillData{Tap: "main", ForNS: 3200 * ms, Because: "stirred"},
			"main: the sticks stopped in full motion and stood still for 3.20 s: a pause or a loss, can't be told"},
		{event.BusExposure, "tap:main", event.ExposureData{Tap: "main", LiveNS: 65 * unit.Second, MovingNS: 21 * unit.Second,
			Spells: 4, LinkFigures: event.LinkFigures{LinkFrames: 9285, LinkMissed: 3}},
			"main: heard live for 1:05.000, with 21.00 s of known movement (4 spells); missed 3 of 9285 frames of a live link"},
		{event.BusExposure, "tap:main", event.ExposureData{Tap: "main", LiveNS: 7 * ms, BeatingNS: 7 * ms, LinkFigures: event.LinkFigures{LinkFrames: 1}},
			"main: heard live for 7.0 ms, with 0.0 ms of known movement (0 spells), the heartbeat beat for 7.0 ms; missed 0 of 1 frame of a live link"},
		{event.AirMissed, "tap:main", event.FramesMissingData{Frames: 2, SpanNS: 7 * ms}, "main: the receiver missed the transmitter, 2 frames flagged in 7.0 ms"},
		{event.AirMissed, "tap:main", event.FramesMissingData{Frames: 150, SpanNS: 9800 * ms, Runs: 140, LongestNS: 14 * ms},
			"main: the receiver missed the transmitter, 150 frames flagged in 9.80 s, 140 runs, the longest 14.0 ms"},
		{event.AirMissed, "tap:main", event.FramesMissingData{Frames: 2, SpanNS: 7 * ms, Runs: 1, LongestNS: 7 * ms},
			"main: the receiver missed the transmitter, 2 frames flagged in 7.0 ms, 1 run, the longest 7.0 ms"},
		{event.AirMissed, "tap:main", event.FramesMissingData{Frames: 859, SpanNS: 6 * unit.Second, Loss: true},
			"main: the receiver missed the transmitter, 859 frames flagged in 6.00 s, and lost it or fell silent"},
		{event.ValueSpiked, "channel:4", event.ValueSpikedData{Tap: "main", Channel: 4, FromNS: 1_500_000, ToNS: 1_400_000, Frames: 3},
			"channel 4 left 1500 µs for 3 frames, as far as 1400 µs, and came back"},
		{event.GainSwept, "channel:9", event.GainSweptData{Tap: "main", Channel: 9, FromNS: 1_500_000, ToNS: 1_700_000, LeastNS: 987_500, MostNS: 1_700_000},
			"gain turned from 1500 µs to 1700 µs, between 987.5 µs and 1700 µs"},
	} {
		assert.Equal(t, c.want, event.Sentence(&event.Event{Kind: c.kind, About: c.about, Data: c.data}))
	}
}

package metrics

import (
	"strconv"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// values are the families of what frames say now. All are absent while no frames
// come: an old value must not look live.
func values() []family {
	return []family{
		gauge("signal", "1 for whose values the latest frames carry: live, missed, lost or failsafe; absent while no frames come.",
			tapLabels("signal"), whileLive(signal)),
		gauge("values_suspect", "1 while many channels have leapt at once and none has moved singly since, as presets do; absent while no frames come.",
			tapLabels(), whileLive(func(t *state.Tap, show show) { show(truth(t.Suspect)) })),
		gauge("mode_asked", "1 for the mode that the switches ask for, \"no mode\" outside the sheet's; "+
			"absent until one has settled, while no frames come, and while each is flagged as lost.",
			tapLabels("mode"), whileLive(mode)),
		gauge("bus_period_seconds", "The bus's rhythm, from frame to frame; absent until it is known and while no frames come.",
			tapLabels(), whileLive(rhythm(func(t *state.Tap) unit.Duration { return t.PeriodNS }))),
		gauge("port_clumping_seconds", "How late the port hands over, at most, lately; absent until the bus's rhythm is known and while no frames come.",
			tapLabels(), whileLive(rhythm(func(t *state.Tap) unit.Duration { return t.ClumpNS }))),
		gauge("channel_width_seconds", "Pulse width of each channel by the sheet's scale: 0.0015 is 1500 µs; absent while no frames come.",
			tapLabels("channel"), whileLive(widths)),
		gauge("channel_counts", "Raw value of each channel, 0 to 2047; 0 or 1 of the digital ones; absent while no frames come.",
			tapLabels("channel"), whileLive(counts)),
	}
}

func whileLive(read func(*state.Tap, show)) func(*state.State, show) {
	return perTap(func(t *state.Tap, show show) {
		if t.Condition().IsHeard() {
			read(t, show)
		}
	})
}

// signal is a state set: one of the four is 1.
func signal(t *state.Tap, show show) {
	if t.Signal == "" {
		return
	}
	for _, s := range []event.Signal{event.SignalLive, event.SignalMissed, event.SignalLost, event.SignalFailsafe} {
		show(truth(t.Signal == s), string(s))
	}
}

func mode(t *state.Tap, show show) {
	switch {
	case !t.ModeKnown:
	case t.Mode == "":
		show(1, text.NoMode)
	default:
		show(1, t.Mode)
	}
}

func rhythm(of func(*state.Tap) unit.Duration) func(*state.Tap, show) {
	return func(t *state.Tap, show show) {
		if t.PeriodNS > 0 {
			show(seconds(of(t)))
		}
	}
}

// widths leaves out digital channels without places, which have none.
func widths(t *state.Tap, show show) {
	for i := range t.Channels {
		if c := &t.Channels[i]; c.WidthNS > 0 {
			show(seconds(c.WidthNS), called(c))
		}
	}
}

func counts(t *state.Tap, show show) {
	for i := range t.Channels {
		show(float64(t.Channels[i].Count), called(&t.Channels[i]))
	}
}

// called is the name of a channel, or its number, which can be no name.
func called(c *state.Channel) string {
	if c.Name != "" {
		return c.Name
	}
	return strconv.Itoa(c.Number)
}

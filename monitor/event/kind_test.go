package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

func TestSentenceOfAKind(t *testing.T) {
	for _, x := range []struct {
		name string
		e    event.Event
		want string
	}{
		{"with data", event.Event{Kind: event.Mark, About: "session", Data: event.MarkData{Text: "hello"}}, "mark: hello"},
		{"a mark that is struck", event.Event{Kind: event.MarkStruck, About: "session", Data: event.StrikeData{MarkNS: 61_250_000_000, Text: "hello"}},
			"struck is the mark of 1:01.250: hello"},
		{"with why", event.Event{Kind: event.MarkStruck, About: "session", Data: event.StrikeData{MarkNS: 61_250_000_000, Text: "hello", Why: "bye"}},
			"struck is the mark of 1:01.250: hello; bye"},
		{"without data", event.Event{Kind: event.SessionEnded, About: "session"}, "session ended"},
		{"about one of many", event.Event{Kind: event.TapOverrun, About: "tap:main", Data: event.CountData{Count: 3}}, "main: the port lost 3 characters"},
		{"of an output", event.Event{Kind: event.OutputSilent, About: "output:2", Data: event.SilentData{LimitNS: 1_000_000_000}},
			"output 2: ITS PULSES STOPPED, none for 1.00 s while the board goes on"},
		{"a fault of ours", event.Event{Kind: event.JudgementFailed, About: "session", Data: event.FaultData{Input: "beat", Fault: "out of range"}},
			"JUDGEMENT FAILED at an input of kind beat (out of range) and started afresh: a fault of benchproof's own, please report it"},
		{"data of another kind", event.Event{Kind: event.TapOverrun, About: "tap:main", Data: event.MarkData{Text: "x"}}, "tap:main: tap.overrun"},
		{"a kind without a row", event.Event{Kind: "moon.rose", About: "sky"}, "sky: moon.rose"},
	} {
		assert.Equal(t, x.want, event.Sentence(&x.e), x.name)
	}
}

func TestWhatARowSaysOfTheScreen(t *testing.T) {
	for kind, want := range map[string]bool{event.BusExposure: false, event.OutputPaced: false, event.BusLocked: true, event.Mark: true} {
		assert.Equal(t, want, event.OnScreen(&event.Event{Kind: kind}), kind)
	}
	for kind, want := range map[string]int64{event.DrillEnded: 7, event.VerdictChanged: 7, event.AirMissed: 3} {
		assert.EqualValues(t, want, event.ShownTime(&event.Event{Kind: kind, At: 7, From: 3}), kind)
	}
}

package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestSentencesOfDrills(t *testing.T) {
	moved := []event.ChannelMove{
		{Channel: 1, FromNS: 1_500_000, ToNS: 988_125, LeastNS: 988_125, MostNS: 1_500_000},
		{Channel: 2, FromNS: 1_500_000, ToNS: 1_500_000, LeastNS: 1_480_000, MostNS: 1_520_000},
		{Channel: 3, FromNS: 1_000_000, ToNS: 1_000_000, LeastNS: 1_000_000, MostNS: 1_030_000},
	}
	for _, c := range []struct {
		kind, about string
		data        any
		want        string
	}{
		{event.DrillBegan, "drill:mode", event.DrillBeganData{Prompts: 4}, "drill mode began: 4 prompts, once its cautions are confirmed"},
		{event.DrillBegan, "drill:mode", event.DrillBeganData{Prompts: 4, By: "Ann"},
			"drill mode began: 4 prompts, followed by Ann, once its cautions are confirmed"},
		{event.DrillAnswered, "drill:response", event.DrillAnsweredData{Prompt: "x", By: "count", Frames: 9, Signal: event.SignalLive, Outputs: []event.OutputMove{
			{Output: 1, FromNS: 1_500_000, LeastNS: 1_490_000, MostNS: 1_584_000, EndMeanNS: 1_572_000, Pulses: 90},
			{Output: 2, FromNS: 1_500_000, LeastNS: 1_488_000, MostNS: 1_501_000, EndMeanNS: 1_499_000, Pulses: 90},
			{Output: 3, FromNS: 1_500_000, LeastNS: 1_488_100, MostNS: 1_511_900, EndMeanNS: 1_500_000, Pulses: 90},
			{Output: 4}, {Output: 5, FromNS: 1_500_000, LeastNS: 1_500_000, MostNS: 1_500_000, Pulses: 9},
		}}, "x: done on the count; no channel moved, output 1 by +84 µs at most, +72 µs at the end, output 2 by -12 µs at " +
			"most, -1 µs at the end, output 4 SILENT, output 5 silent for a part of it"},
		{event.DrillPrompted, "drill:mode", event.DrillPromptedData{Text: "put inner to back", Number: 1, Of: 4}, "drill mode, 1 of 4: put inner to back"},
		{event.DrillAnswered, "drill:order", event.DrillAnsweredData{Prompt: "order/aileron/left", By: "wire", Frames: 9, Signal: event.SignalLive, Channels: moved},
			"order/aileron/left: seen; channel 1 1500 µs to 988.1 µs, channel 3 1000 µs to 1000 µs"},
		{event.DrillAnswered, "drill:order", event.DrillAnsweredData{Prompt: "x", By: "builder", Frames: 9, Signal: event.SignalFailsafe, Channels: moved[1:2]},
			"x: done; no channel moved (the receiver's doing: failsafe)"},
		{event.DrillAnswered, "drill:order", event.DrillAnsweredData{Prompt: "x", By: "builder", Frames: 9, Signal: event.SignalLive, Suspect: true},
			"x: done; no channel moved (many channels leapt at once: perhaps a preset)"},
		{event.DrillAnswered, "drill:order", event.DrillAnsweredData{Prompt: "x", By: "builder"}, "x: done; no live frame was heard meanwhile"},
		{event.DrillEnded, "drill:mode", event.DrillEndedData{How: "finished"}, "drill mode finished"},
		{event.DrillEnded, "drill:mode", event.DrillEndedData{How: "timed out", Why: "nothing was answered for 2 minutes"},
			"drill mode timed out: nothing was answered for 2 minutes"},
		{event.DrillRefused, "drill:mode", event.ReasonData{Why: "no drill is under way"}, "drill mode refused a step: no drill is under way"},
		{event.DrillRefused, "session", event.ReasonData{Why: "want one of mode"}, "a drill step was refused: want one of mode"},
		{event.TapDown, "tap:main", event.ReasonData{Why: "went away"}, "main: went away"},
		{event.SessionEnded, "session", nil, "session ended"},
	} {
		assert.Equal(t, c.want, event.Sentence(&event.Event{At: 100_000_000, Kind: c.kind, About: c.about, Data: c.data}))
	}
}

// A builder is shown what a prompt asked for, not its ID.
func TestWordsOfAPrompt(t *testing.T) {
	for text, want := range map[string]string{
		"":                  "order/aileron/left: seen; no channel moved",
		"put inner to back": "put inner to back: seen; no channel moved",
		"hold the right stick fully to the left (aileron)": "hold the right stick fully to the left (aileron): seen; no channel moved",
		"leave both on for two minutes; the next comes":    "leave both on for two minutes: seen; no channel moved",
		"leave it off: what it does is being watched":      "leave it off: seen; no channel moved",
		"now: briskly raise the tail; and hold it":         "now: briskly raise the tail: seen; no channel moved",
	} {
		d := event.DrillAnsweredData{Prompt: "order/aileron/left", Text: text, By: "wire", Frames: 9, Signal: event.SignalLive}
		assert.Equal(t, want, event.PromptAnswer(&d, unit.Second, event.ChannelNumber))
	}
	walk := event.DrillAnsweredData{Prompt: "range/walk", Text: "walk from mark to mark; at each stand still", By: "builder",
		Frames: 9, Signal: event.SignalFailsafe}
	assert.Equal(t, "walk from mark to mark: done", event.PromptAnswer(&walk, unit.Second, event.ChannelNumber), "no channel is asked for")
	hint := event.Event{Kind: event.DrillHint, About: "drill:order", Data: event.DrillHintData{Prompt: "order/aileron/left", Why: "no channel moved"}}
	assert.Equal(t, "drill order: no channel moved", event.Sentence(&hint))
}

// Where there is a sheet a channel has its name; one that it moves by itself is left out.
func TestAnAnswerNamesChannels(t *testing.T) {
	d := event.DrillAnsweredData{Text: "put inner to back", By: "wire", Frames: 9, Signal: event.SignalLive, Channels: []event.ChannelMove{
		{Channel: 7, FromNS: 1_500_000, ToNS: 2_000_000, LeastNS: 1_500_000, MostNS: 2_000_000},
		{Channel: 16, FromNS: 1_200_000, ToNS: 1_400_000, LeastNS: 1_200_000, MostNS: 1_400_000},
	}}
	called := func(channel int) string { return map[int]string{7: "inner"}[channel] }
	assert.Equal(t, "put inner to back: seen; inner 1500 µs to 2000 µs", event.PromptAnswer(&d, unit.Second, called))
	d.Channels = d.Channels[1:]
	assert.Equal(t, "put inner to back: seen; no channel moved", event.PromptAnswer(&d, unit.Second, called))
}

// An Enter may come within a pulse of the one before: what was not heard by then is not
// silent. A doubt stands behind the builder's word.
func TestAnAnswerThatCameAtOnceSilencesNothing(t *testing.T) {
	d := event.DrillAnsweredData{Text: "put inner to back", By: "builder", Signal: event.SignalLive, Doubt: "inner did not move",
		Outputs: []event.OutputMove{{Output: 1, FromNS: 1_500_000, EndMeanNS: 1_500_000}}}
	assert.Equal(t, "put inner to back: done, but inner did not move; after 2.0 ms, too soon for anything to be heard",
		event.PromptAnswer(&d, 2*unit.Millisecond, event.ChannelNumber))
	d.Frames = 14
	assert.Equal(t, "put inner to back: done, but inner did not move; no channel moved", event.PromptAnswer(&d, 100*unit.Millisecond-1, event.ChannelNumber))
	assert.Equal(t, "put inner to back: done, but inner did not move; no channel moved, output 1 SILENT",
		event.PromptAnswer(&d, 100*unit.Millisecond, event.ChannelNumber))
	d.Outputs[0].EndMeanNS = 0
	assert.Contains(t, event.PromptAnswer(&d, unit.Millisecond, event.ChannelNumber), "output 1 SILENT", "nor was it heard in the second before")
	d.By, d.Frames = "wire", 0
	assert.Contains(t, event.PromptAnswer(&d, unit.Millisecond, event.ChannelNumber), "no live frame was heard", "the wire answers to what it shows")
}

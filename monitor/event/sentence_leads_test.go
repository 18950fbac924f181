package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestOutputSentences(t *testing.T) {
	ms := unit.Millisecond
	for _, x := range []struct {
		kind, about string
		data        any
		want        string
	}{
		{event.BoardHeard, "tap:leads", event.BoardHeardData{TickNS: 500}, "leads: the capture board is heard, its clock ticks each 500 ns"},
		{event.BoardHeard, "tap:leads", event.BoardHeardData{SilentNS: 4 * unit.Second}, "leads: the capture board is heard again, after 4.00 s"},
		{event.BoardSilent, "tap:leads", event.SilentData{LimitNS: 3 * unit.Second}, "leads: the capture board is SILENT, no line from it any more"},
		{event.BoardSilent, "tap:leads", event.SilentData{Never: true}, "leads: the capture board is SILENT, no line has " +
			"come from it yet: is this its port, and is its firmware on it?"},
		{event.BoardSilent, "tap:leads", event.SilentData{Never: true, Refused: 40},
			"leads: 40 bytes came, but no line of a capture board: is this its port, and the bus on the other? Does it send at " +
				"another rate (--leads-baud)?"},
		{event.BoardLost, "tap:leads", event.BoardLostData{Lines: 1, Dropped: 2, Restarts: 1, SpanNS: 500 * ms,
			Refused: map[string]int64{"outside": 1, "bad-sum": 31}},
			"leads: trouble between board and computer within 0.50 s: 1 line is lacking, 2 pulses that the board could not " +
				"tell, 31 bytes refused (bad-sum), 1 byte refused (outside), 1 restart of the board; what was in it is not known"},
		{event.OutputSilent, "output:3", event.SilentData{LimitNS: 100 * ms}, "output 3: ITS PULSES STOPPED, none for 0.10 s while the board goes on"},
		{event.OutputBack, "output:3", event.OutputBackData{WidthNS: 1_500_500}, "output 3: pulses are coming in, 1500.5 µs wide"},
		{event.OutputBack, "output:3", event.OutputBackData{WidthNS: 1_500_000, SilentNS: unit.Second}, "output 3: pulses again, after 1.00 s, 1500 µs wide"},
		{event.OutputOdd, "output:3", event.OutputOddData{Pulses: 7, LeastNS: 300_000, MostNS: 310_000, SpanNS: 120 * ms},
			"output 3: 7 PULSES THAT NO SERVO IS SENT within 0.12 s, 300 µs to 310 µs wide"},
		{event.OutputOdd, "output:3", event.OutputOddData{Pulses: 7, LeastNS: 300_000, MostNS: 300_000, SpanNS: 120 * ms},
			"output 3: 7 PULSES THAT NO SERVO IS SENT within 0.12 s, 300 µs wide"},
		{event.OutputPaced, "output:3", event.PeriodData{PeriodNS: 20 * ms}, "output 3: a pulse every 20.0 ms"},
		{event.OutputPaced, "output:3", event.PeriodData{PeriodNS: 10 * ms, WasNS: 20 * ms}, "output 3: a pulse every 10.0 ms now, every 20.0 ms before"},
		{event.OutputJitter, "output:3", event.OutputJitterData{SpreadNS: 1500, Pulses: 100, Mode: "off"},
			"output 3: at rest it strayed by 1.5 µs in 100 pulses, while the bus asks for OFF"},
		{event.OutputJitter, "output:3", event.OutputJitterData{SpreadNS: 500, Pulses: 100}, "output 3: at rest it strayed by 0.5 µs in 100 pulses"},
		{event.OutputUnsteady, "output:3", event.OutputUnsteadyData{MilliHz: 2506, AmplitudeNS: 12_000, Mode: "damping"},
			"output 3: SWINGS BY ITSELF, 12 µs to either side, 2.50 times a second, although nothing commands it, while the bus asks for DAMPING"},
		{event.OutputUnsteady, "output:3", event.OutputUnsteadyData{MilliHz: 2506, AmplitudeNS: 12_000, GainNS: 1_884_000},
			"output 3: SWINGS BY ITSELF, 12 µs to either side, 2.50 times a second, although nothing commands it, with the gain at 1884 µs"},
		{event.OutputCalm, "output:3", event.OutputUnsteadyData{MilliHz: 2506, AmplitudeNS: 12_000, ForNS: 14 * unit.Second},
			"output 3: swings no more, after 14.00 s (12 µs to either side, 2.50 times a second)"},
		{event.OutputClipped, "output:3", event.OutputClipData{WidthNS: 1_900_000, BeyondNS: 112_000, Upper: true, Channels: []int{1}},
			"output 3: the receiver cut it off at 1900 µs while channel 1 went on, which would have taken it 112 µs farther"},
		{event.OutputClipped, "output:3", event.OutputClipData{WidthNS: 1_900_000, BeyondNS: 112_000, Channels: []int{1, 2}},
			"output 3: the receiver cut it off at 1900 µs while channels 1, 2 went on, which would have taken it 112 µs farther"},
		{event.OutputFollows, "output:3",
			event.OutputFollowsData{Terms: []event.MixTerm{{Channel: 1, PPM: 500_000}, {Channel: 2, PPM: -500_000}},
				NeutralNS: 1_500_000, LeastNS: 1_000_000, MostNS: 2_000_000, DelayNS: 45 * ms},
			"output 3: follows 0.50 of channel 1 and -0.50 of channel 2, about 45 ms behind the bus, 1500 µs at neutral; went from 1000 µs to 2000 µs"},
		{event.OutputFollows, "output:3", event.OutputFollowsData{NeutralNS: 1_500_000, LeastNS: 1_500_000,
			MostNS: 1_500_000}, "output 3: follows nothing that was moved; went from 1500 µs to 1500 µs"},
		{event.LossOutputs, "tap:leads", event.LossOutputsData{Tap: "leads", Outputs: []event.LossOutput{
			{Output: 1, WasNS: 1_700_000, NowNS: 1_500_000, SilentNS: -1}, {Output: 2, WasNS: 1_500_000, NowNS: 1_501_000, SilentNS: -1},
			{Output: 3, WasNS: 1_300_000, SilentNS: 500 * ms}, {Output: 4, NowNS: 1_000_000, SilentNS: -1},
		}}, "leads: without a signal output 1 went from 1700 µs to 1500 µs, output 2 stayed at 1501 µs, output 3 fell silent after 0.50 s, output 4 came to 1000 µs"},
		{"output.other", "output:3", nil, "output:3: output.other"},
	} {
		assert.Equal(t, x.want, event.Sentence(&event.Event{Kind: x.kind, About: x.about, Data: x.data}))
	}
}

// The delay of leads is reported as finely as it is found.
func TestBehindIsRounded(t *testing.T) {
	for us, want := range map[unit.Duration]string{
		0: "less than 5 ms", 4_999: "less than 5 ms", 5_000: "about 5 ms", 7_499: "about 5 ms", 7_500: "about 10 ms", 44_000: "about 45 ms", 131_000: "about 130 ms",
	} {
		assert.Equal(t, want+" behind the bus", event.DelayText(us*unit.Microsecond))
	}
}

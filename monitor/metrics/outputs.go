package metrics

import (
	"strconv"

	"benchproof.example/monitor/state"
)

// outputs are the families of a capture board and of the servo leads that it hears.
// Width and period are absent while an output's pulses don't come: an old value must
// not look live.
func outputs() []family {
	return []family{
		boardCounter("board_lines_total", "Lines of the capture board that were taken.",
			func(b *state.Board) int64 { return b.Lines }),
		boardCounter("board_lost_lines_total", "Lines of the capture board that are lacking, by their numbers.",
			func(b *state.Board) int64 { return b.LostLines }),
		boardCounter("board_dropped_pulses_total", "Pulses that the capture board could not tell, by its own count.",
			func(b *state.Board) int64 { return b.Dropped }),
		boardCounter("board_restarts_total", "How often the capture board began anew.",
			func(b *state.Board) int64 { return b.Restarts }),
		phoneCounter("phone_attitudes_total", "Attitudes of a phone that lies on the model.",
			func(p *state.Phone) int64 { return p.Attitudes }),
		phoneCounter("phone_lost_sentences_total", "Sentences of a phone that are lacking, by their numbers.",
			func(p *state.Phone) int64 { return p.LostSentences }),
		counter("pulses_total", "Pulses of each output, by its number.", tapLabels("output"),
			perOutput(func(o *state.Output, show func(float64)) { show(float64(o.Pulses)) })),
		gauge("output_live", "1 while pulses of this output come; there once it was heard.", tapLabels("output"),
			perOutput(func(o *state.Output, show func(float64)) { show(truth(o.Pulsing)) })),
		gauge("output_width_seconds", "Width of the latest pulse: 0.0015 is 1500 µs; absent while none come.",
			tapLabels("output"), whilePulses(func(o *state.Output) float64 { return seconds(o.WidthNS) })),
		gauge("output_period_seconds", "From pulse to pulse; absent until it is known and while none come.",
			tapLabels("output"), whilePulses(func(o *state.Output) float64 { return seconds(o.PeriodNS) })),
	}
}

func phoneCounter(name, help string, count func(*state.Phone) int64) family {
	return counter(name, help, tapLabels(), perTap(func(t *state.Tap, show show) {
		if t.Phone != nil {
			show(float64(count(t.Phone)))
		}
	}))
}

func boardCounter(name, help string, count func(*state.Board) int64) family {
	return counter(name, help, tapLabels(), perTap(func(t *state.Tap, show show) {
		if t.Board != nil {
			show(float64(count(t.Board)))
		}
	}))
}

func perOutput(read func(o *state.Output, show func(float64))) func(*state.State, show) {
	return perTap(func(t *state.Tap, show show) {
		if t.Board == nil {
			return
		}
		for i := range t.Board.Outputs {
			o := &t.Board.Outputs[i]
			read(o, func(v float64) { show(v, strconv.Itoa(o.Number)) })
		}
	})
}

func whilePulses(of func(*state.Output) float64) func(*state.State, show) {
	return perOutput(func(o *state.Output, show func(float64)) {
		if v := of(o); o.Pulsing && v > 0 {
			show(v)
		}
	})
}

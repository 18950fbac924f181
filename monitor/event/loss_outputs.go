package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// LossOutputsData belongs to loss.outputs: what the outputs did when the signal was
// lost. Times are from the last frame known live.
type LossOutputsData struct {
	Tap     string       `json:"tap"`
	Bus     string       `json:"bus"`
	Drill   string       `json:"drill,omitempty"`
	LiveNS  unit.Time    `json:"live_ns"` // date of the last frame known live
	Outputs []LossOutput `json:"outputs"`
}

// LossOutput is what one output did.
type LossOutput struct {
	Output   int           `json:"output"`
	WasNS    unit.Width    `json:"was_ns"`   // width when the signal went; 0: it was silent
	NowNS    unit.Width    `json:"now_ns"`   // once settled; silent: the last
	LeastNS  unit.Width    `json:"least_ns"` // once settled
	MostNS   unit.Width    `json:"most_ns"`
	SilentNS unit.Duration `json:"silent_ns"` // to its last pulse; -1: it went on
}

func lossOutputsSentence(_ *Event, _ string, d *LossOutputsData) string {
	parts := make([]string, 0, len(d.Outputs))
	for i := range d.Outputs {
		o := &d.Outputs[i]
		did := "went from " + unit.FormatWidth(o.WasNS) + " to " + unit.FormatWidth(o.NowNS)
		switch {
		case o.SilentNS >= 0:
			did = "fell silent after " + unit.FormatDuration(o.SilentNS)
		case o.WasNS == 0:
			did = "came to " + unit.FormatWidth(o.NowNS)
		case max(o.NowNS-o.WasNS, o.WasNS-o.NowNS) <= outputStays:
			did = "stayed at " + unit.FormatWidth(o.NowNS)
		}
		parts = append(parts, fmt.Sprintf("output %d %s", o.Output, did))
	}
	return fmt.Sprintf("%s: without a signal %s", d.Tap, strings.Join(parts, ", "))
}

// outputStays is what an output may stray and still be said to have stayed, ns.
const outputStays = 5_000

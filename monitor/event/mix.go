package event

import (
	"fmt"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// OutputFollowsData belongs to output.follows: pulse width as a sum over channels, as free
// movement showed it. Figures are fitted and rounded.
type OutputFollowsData struct {
	Tap       string        `json:"tap"`
	Bus       string        `json:"bus"`        // the tap whose channels these are
	Mode      string        `json:"mode"`       // asked for meanwhile, "" for none of the sheet's
	Terms     []MixTerm     `json:"terms"`      // channels that moved far enough to report, ascending
	NeutralNS unit.Width    `json:"neutral_ns"` // width with every channel at its neutral or first place
	LowNS     unit.Width    `json:"low_ns"`     // where it stands flat while the mix goes on; 0: not seen
	HighNS    unit.Width    `json:"high_ns"`
	LeastNS   unit.Width    `json:"least_ns"` // seen
	MostNS    unit.Width    `json:"most_ns"`
	DeadNS    unit.Width    `json:"dead_ns"`  // channel movement that leaves it where it is; 0: none seen
	DelayNS   unit.Duration `json:"delay_ns"` // from bus to pulse
	OffNS     unit.Width    `json:"off_ns"`   // how far widths typically lie from the sum
	Samples   int64         `json:"samples"`
	Unmoved   []int         `json:"unmoved"` // channels of the sheet that have not moved far enough yet
}

// MixTerm is what one channel does to an output.
type MixTerm struct {
	Channel         int   `json:"channel"`
	PPM             int64 `json:"ppm"`      // pulse travel against channel travel, parts per million
	HalfIntervalPPM int64 `json:"sure_ppm"` // half of the interval in which it lies, 95 %
}

// Negligible reports whether a channel moves an output by nothing, or by nothing that an
// eye would see.
func Negligible(t MixTerm) bool {
	const ppm = 20_000
	return max(t.PPM, -t.PPM) <= max(t.HalfIntervalPPM, ppm)
}

// DelayText says how far the leads are behind the bus: no more finely than a fit finds it,
// some milliseconds, where pulses come each 20 ms.
func DelayText(t unit.Duration) string {
	const step = 5 * unit.Millisecond
	if t < step {
		return "less than 5 ms behind the bus"
	}
	return fmt.Sprintf("about %d ms behind the bus", (t+step/2)/step*step/unit.Millisecond)
}

func followsSentence(_ *Event, d *OutputFollowsData) string {
	parts := make([]string, 0, len(d.Terms))
	for _, t := range d.Terms {
		if Negligible(t) {
			continue
		}
		parts = append(parts, fmt.Sprintf("%.2f of channel %d", float64(t.PPM)/1e6, t.Channel))
	}
	if len(parts) == 0 {
		return fmt.Sprintf("follows nothing that was moved; went from %s to %s", unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
	}
	return fmt.Sprintf("follows %s, %s, %s at neutral; went from %s to %s", text.And(parts), DelayText(d.DelayNS),
		unit.FormatWidth(d.NeutralNS), unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS))
}

// WithRange is what was found now with how far the output went, also as it was found before,
// perhaps in another mode. was may be nil.
func (d OutputFollowsData) WithRange(was *OutputFollowsData) *OutputFollowsData {
	if was != nil {
		d.LeastNS, d.MostNS = min(d.LeastNS, was.LeastNS), max(d.MostNS, was.MostNS)
	}
	return &d
}

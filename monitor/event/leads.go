package event

import "benchproof.example/monitor/unit"

// What the servo leads show. A board listens to them and prints a line for each
// pulse; its tap is of kind "pulses". Events of one output are about "output:N",
// those of the board about "tap:NAME".
const (
	BoardHeard  = "board.heard"  // BoardHeardData: its lines come
	BoardSilent = "board.silent" // SilentData: none come any more
	BoardLost   = "board.lost"   // BoardLostData: lines that are lacking or were refused

	OutputSilent   = "output.silent"   // SilentData: its pulses stopped while others or the board's own lines went on; onset: the last pulse
	OutputBack     = "output.back"     // OutputBackData
	OutputOdd      = "output.odd"      // OutputOddData: pulses that no servo is sent
	OutputPaced    = "output.paced"    // PeriodData: its period is known, or another one
	OutputJitter   = "output.jitter"   // OutputJitterData: how still it stood
	OutputUnsteady = "output.unsteady" // OutputUnsteadyData: it swings slowly although nothing commands it
	OutputCalm     = "output.calm"     // OutputUnsteadyData: it does no more
	OutputClipped  = "output.clipped"  // OutputClipData: it stood flat while what moves it went on
	OutputFollows  = "output.follows"  // OutputFollowsData: the mix that was found
	LossOutputs    = "loss.outputs"    // LossOutputsData: about "tap:NAME"
)

// BoardHeardData belongs to board.heard.
type BoardHeardData struct {
	SilentNS unit.Duration `json:"silent_ns"` // how long none had come; 0 for the first
	TickNS   unit.Duration `json:"tick_ns"`   // the board's own; 0: not reported yet
	Restarts int           `json:"restarts"`  // since the tap came up
}

// BoardLostData belongs to board.lost: a run of trouble between board and computer.
// What was in lost lines is absent, never guessed.
type BoardLostData struct {
	Lines    int64            `json:"lines"`    // lacking by their numbers
	Dropped  int64            `json:"dropped"`  // pulses that the board says it could not report
	Refused  map[string]int64 `json:"refused"`  // bytes refused, by reason
	Restarts int64            `json:"restarts"` // of the board
	SpanNS   unit.Duration    `json:"span_ns"`
}

// OutputBackData belongs to output.back: its pulses come, for the first time or again.
type OutputBackData struct {
	SilentNS unit.Duration `json:"silent_ns"` // how long none had come; 0 for the first
	WidthNS  unit.Width    `json:"width_ns"`
}

// OutputOddData belongs to output.odd: a run of pulses outside 700 to 2300 µs
// (common practice), or outside what the sheet's narrow pulses need.
type OutputOddData struct {
	Pulses  int64         `json:"pulses"`
	LeastNS unit.Width    `json:"least_ns"`
	MostNS  unit.Width    `json:"most_ns"`
	SpanNS  unit.Duration `json:"span_ns"`
}

// OutputJitterData belongs to output.jitter: how far the width strayed from pulse
// to pulse while nothing commanded it to move.
type OutputJitterData struct {
	SpreadNS unit.Width    `json:"spread_ns"` // between the 5th and the 95th of a hundred widths, drift taken off
	Pulses   int64         `json:"pulses"`
	ForNS    unit.Duration `json:"for_ns"`
	Mode     string        `json:"mode"` // asked for meanwhile, "" for none of the sheet's
}

// OutputUnsteadyData belongs to output.unsteady and output.calm.
type OutputUnsteadyData struct {
	MilliHz     int64         `json:"milli_hz"`     // of the strongest swing
	AmplitudeNS unit.Width    `json:"amplitude_ns"` // from its middle to its peak
	ForNS       unit.Duration `json:"for_ns"`
	Mode        string        `json:"mode"`
}

// OutputClipData belongs to output.clipped: the receiver cut the movement off. The
// channels that move the output went on, so it was not the transmitter.
type OutputClipData struct {
	WidthNS  unit.Width `json:"width_ns"`  // where it stood
	BeyondNS unit.Width `json:"beyond_ns"` // how much farther the mix would have taken it
	Upper    bool       `json:"upper"`     // the wide end
	Channels []int      `json:"channels"`  // that went on
}

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

// The drills that tilt the model. Their prompts are "response/MODE/N/STEP" and
// "correction/AXIS/STEP".
const (
	ResponseDrill   = "response"
	CorrectionDrill = "correction"

	PromptStick    = "stick" // the stick that the answer is compared with is held over
	PromptTilted   = "there" // tilted, and held: tail raised, left wing raised, nose jerked left
	PromptOpposite = "other" // the opposite
	PromptLook     = "eye"   // the surface is looked at
)

// OutputMove is what one output did since a prompt. Widths that a single pulse
// had are left out.
type OutputMove struct {
	Output    int        `json:"output"`
	FromNS    unit.Width `json:"from_ns"`  // at the prompt
	SwayNS    unit.Width `json:"sway_ns"`  // how far it went to and fro in the half second that began a second before the prompt, or a tenth sooner
	LeastNS   unit.Width `json:"least_ns"` // since
	MostNS    unit.Width `json:"most_ns"`
	EndMeanNS unit.Width `json:"late_ns"` // mean over the last second before the answer
	Pulses    int64      `json:"pulses"`  // since the prompt; 0: it was silent

	// For tilts. A hand may be ahead of the count by half a second, so that these begin
	// then.
	TiltRestNS    unit.Width    `json:"rest_ns"`    // where it stood in that half second; 0: it was silent
	TiltSwayNS    unit.Width    `json:"stir_ns"`    // how far it went to and fro in the two seconds before that half second ended
	TiltLeastNS   unit.Width    `json:"low_ns"`     // least since half a second before the prompt
	TiltMostNS    unit.Width    `json:"high_ns"`    // most
	TiltLeastAtNS unit.Duration `json:"low_at_ns"`  // when that was, from the prompt
	TiltMostAtNS  unit.Duration `json:"high_at_ns"` // likewise
	// TiltAwayNS is how long it stood at half or more of the way from TiltRestNS to the farther of the two;
	// tenths of seconds, of the last six.
	TiltAwayNS unit.Duration `json:"away_ns"`
}

// WithRange is what was found now with how far the output went, also as it was found before,
// perhaps in another mode. was may be nil.
func (d OutputFollowsData) WithRange(was *OutputFollowsData) *OutputFollowsData {
	if was != nil {
		d.LeastNS, d.MostNS = min(d.LeastNS, was.LeastNS), max(d.MostNS, was.MostNS)
	}
	return &d
}

package engine

import (
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// LeadsCounts counts what came through a tap on servo leads, for those who look
// from outside. Judgement does not read it, so it goes on where judgement begins
// afresh. Its exported fields are what a checkpoint keeps.
type LeadsCounts struct {
	PortCounts

	state.BoardTally
	Board   string               // as it calls itself
	Tick    unit.Duration        // of its clock, 0: not reported yet
	Refused [pulse.Reasons]int64 // bytes

	Outputs event.ByOutput[OutputCounts]
}

// OutputCounts is one output.
type OutputCounts struct {
	Output int
	Pulses int64
	Last   unit.Time     // end of the latest pulse
	Width  unit.Width    // ns
	Period unit.Duration // ns, 0: not known
}

// account adds what the account of the lines grew by.
func (t *LeadsCounts) account(was, now *pulse.Account, b *pulse.BoardInfo) {
	t.Lines += now.Lines - was.Lines
	t.LostLines += now.Lost - was.Lost
	t.Dropped += now.Dropped - was.Dropped
	t.Restarts += now.Restarts - was.Restarts
	if now.Refused != was.Refused {
		for r := range now.Refused {
			t.Refused[r] += now.Refused[r] - was.Refused[r]
		}
	}
	if now.Infos != was.Infos && b.Tick > 0 {
		t.Board, t.Tick = b.Name, unit.Duration(b.Tick)
	}
}

func (t *LeadsCounts) pulse(p *event.Pulse, at unit.Time) {
	o := t.Outputs.Of(p.Output)
	if o == nil {
		o = t.Outputs.Add(p.Output, OutputCounts{Output: p.Output})
	}
	o.Pulses++
	o.Last, o.Width, o.Period = at, p.Width, p.Period
}

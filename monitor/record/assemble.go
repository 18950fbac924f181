package record

import (
	"slices"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// assemble puts together what was gathered while the engine judged; false: some of what it
// would show is not remembered any more.
func (g *Gathering) assemble(e *engine.Engine) (r *Record, whole bool) {
	c, now := g.Collector, e.State()
	r = &Record{
		Format: Format, Model: g.sheet.Model, Begun: c.Begun, LengthNS: unit.Duration(g.Tracer.Last), Ended: c.Ended, Runs: now.Runs,
		Builds: c.Builds, Flaws: c.flawsFound(), Drills: c.Drills, Walks: c.Walks, Marks: c.Marks, Reopened: c.Reopened, Timeline: c.Digest,
		Account: now.Account, Papers: c.Overview.Papers,
	}
	if g.sheet.Stabiliser != nil {
		r.Windows = g.sheet.Stabiliser.From
	}
	r.Taps = c.Line.taps(g.sheet, now)
	r.Outputs, r.Tilts = c.Overview.Leads.list(g.sheet), append([]Tilt{}, c.Overview.Leads.Tilts...)
	a := &traceSet{from: g.Tracer, engine: e, traces: []Trace{}, byKey: map[string]string{}}
	r.Losses = g.losses(a)
	r.Claims = g.claims(e.Claims(), a)
	for i := range r.Claims {
		r.Count.Add(r.Claims[i].Verdict)
	}
	for _, c := range e.Claims() {
		if c.LookedAt && c.Verdict == claim.VerdictOpen {
			r.Count.OpenLookedAt++
		}
	}
	r.Modes = c.Combinations.table(g.sheet, r.Claims)
	r.Traces = a.traces
	return r, !a.lacks
}

func (g *Gathering) claims(list []*claim.Claim, a *traceSet) []Claim {
	all := make([]Claim, 0, len(list))
	for i, c := range list {
		one := Claim{
			ID: c.ID, Verdict: string(c.Verdict), Sentence: c.Sentence, Evidence: c.Evidence, Figures: c.Figures,
			Settle: c.Settle.String(), Drill: c.Settle.Drill,
		}
		if span, ok := latestOf(c.Evidence); ok {
			one.Trace = a.add(g.Kept.ofClaim(i), g.Tracer.heardAt(span), span, onBus(c.Channels, g.sheet))
		}
		all = append(all, one)
	}
	return all
}

// onBus are those of the channels that a frame has widths for.
func onBus(channels []int, s *sheet.Sheet) []int {
	return slices.DeleteFunc(slices.Clone(channels), s.Digital)
}

// losses dates the losses and has the trace of each.
func (g *Gathering) losses(a *traceSet) []Loss {
	list := []Loss{}
	channels := lossChannels(g.sheet)
	for i, l := range g.Collector.Losses {
		d := l.Data
		trace := a.add(g.Kept.ofLoss(i), tapCalled(d.Tap, a.engine), lossSpan(&d), channels)
		if d.Channels == nil {
			d.Channels = []event.LossChannel{}
		}
		one := Loss{At: WallTime(l.Wall), Answer: claim.LossSummary(g.sheet, &d), Findings: []Finding{}, Data: d, Trace: trace}
		for _, f := range claim.Findings(g.sheet, &d) {
			one.Findings = append(one.Findings, Finding(f))
		}
		list = append(list, one)
	}
	return list
}

// WallTime is a wall clock's nanoseconds as a date, to the millisecond.
func WallTime(wall int64) time.Time { return time.Unix(0, wall).UTC().Truncate(time.Millisecond) }

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

// Record puts together what was gathered while the engine judged.
func (g *Collector) Record(b *engine.Engine, t *Tracer) *Record {
	now := b.State()
	r := &Record{
		Format: Format, Model: g.sheet.Model, Begun: g.Begun, LengthNS: unit.Duration(t.last), Ended: g.ended, Runs: now.Runs,
		Builds: g.builds, Flaws: g.flawsFound(), Drills: g.drills, Marks: g.marks, Reopened: g.reopened, Timeline: g.digest,
	}
	if g.sheet.Stabiliser != nil {
		r.Windows = g.sheet.Stabiliser.From
	}
	r.Taps = g.line.taps(g.sheet, now)
	r.Outputs, r.Tilts = g.overview.leads.list(g.sheet), append([]Tilt{}, g.overview.leads.tilts...)
	a := &traceSet{from: t, traces: []Trace{}, byKey: map[string]string{}}
	r.Losses = g.lost(a)
	r.Claims = g.claims(b.Claims(), a)
	for i := range r.Claims {
		r.Count.Add(r.Claims[i].Verdict)
	}
	for _, c := range b.Claims() {
		if c.LookedAt && c.Verdict == claim.VerdictOpen {
			r.Count.OpenLookedAt++
		}
	}
	r.Modes = g.combinations.table(g.sheet, r.Claims)
	r.Traces = a.traces
	return r
}

func (g *Collector) claims(list []*claim.Claim, a *traceSet) []Claim {
	all := make([]Claim, 0, len(list))
	for _, c := range list {
		one := Claim{
			ID: c.ID, Verdict: string(c.Verdict), Sentence: c.Sentence, Evidence: c.Evidence, Figures: c.Figures,
			Settle: c.Settle.String(), Drill: c.Settle.Drill,
		}
		if n := len(c.Evidence); n > 0 {
			span := c.Evidence[n-1]
			one.Trace = a.add(a.from.heardAt(span), span, onBus(c.Channels, g.sheet))
		}
		all = append(all, one)
	}
	return all
}

// onBus are those of the channels that a frame has widths for.
func onBus(channels []int, s *sheet.Sheet) []int {
	return slices.DeleteFunc(slices.Clone(channels), s.Digital)
}

// lost dates the losses and cuts the trace of each: the channels that the sheet
// has, since the preset of each matters.
func (g *Collector) lost(a *traceSet) []Loss {
	list := []Loss{}
	var channels []int
	for i := range g.sheet.Channels {
		if n := g.sheet.Channels[i].Number; !g.sheet.Digital(n) {
			channels = append(channels, n)
		}
	}
	for _, l := range g.losses {
		d := l.data
		end := d.LiveNS.Add(max(d.FailsafeNS, d.SettledNS, d.SilentNS, d.ModeNS, d.BackNS, min(d.WatchedNS, 5*unit.Second), 0))
		span := event.Span{From: d.LiveNS, To: min(end, d.LiveNS.Add(traceMost))}
		tap := a.from.tapCalled(d.Tap)
		if d.Channels == nil {
			d.Channels = []event.LossChannel{}
		}
		one := Loss{At: WallTime(l.wall), Answer: claim.LossSummary(g.sheet, &d), Findings: []Finding{}, Data: d, Trace: a.add(tap, span, channels)}
		for _, f := range claim.Findings(g.sheet, &d) {
			one.Findings = append(one.Findings, Finding(f))
		}
		list = append(list, one)
	}
	return list
}

// WallTime is a wall clock's nanoseconds as a date, to the millisecond.
func WallTime(wall int64) time.Time { return time.Unix(0, wall).UTC().Truncate(time.Millisecond) }

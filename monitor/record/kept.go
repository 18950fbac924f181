package record

import (
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// keptTrace is what one trace is drawn from, kept from the moment on at which it was over:
//
//	evidence       |-----|
//	trace      |-------------|
//	kept                      ^ with the next beat, once a later frame was heard
type keptTrace struct {
	Span event.Span
	Tap  int // index in Tracer.Taps
	tracePart
	Over  bool // else it is still to be kept
	Whole bool // else some of it was forgotten before it was asked for
}

// has reports whether the trace of a span is kept.
func (k *keptTrace) has(span event.Span) bool { return k.Over && k.Span == span }

// keep keeps what of a span is over. What is kept of another span gives way to it.
func (k *keptTrace) keep(t *Tracer, tap int, span event.Span, channels []int) {
	*k = keptTrace{Span: span}
	if _, to := around(span); len(channels) == 0 || tap < 0 || tap >= len(t.Taps) || t.Taps[tap].At <= to {
		return
	}
	k.Tap, k.Over = tap, true
	k.tracePart, k.Whole = t.part(tap, span, channels)
}

// keptTraces are those of the claims, in their order, and of the losses.
type keptTraces struct {
	Claims []keptTrace
	Losses []keptTrace
}

// keep keeps what is over of what the claims rest on now, and of the losses.
func (k *keptTraces) keep(t *Tracer, g *Collector, e *engine.Engine) {
	list := e.Claims()
	if k.Claims == nil {
		k.Claims = make([]keptTrace, len(list))
	}
	for i, c := range list {
		span, ok := latestOf(c.Evidence)
		if ok && len(c.Channels) > 0 && !k.Claims[i].has(latest(span)) {
			k.Claims[i].keep(t, t.heardAt(span), latest(span), onBus(c.Channels, g.sheet))
		}
	}
	for i := range g.Losses {
		if i == len(k.Losses) {
			k.Losses = append(k.Losses, keptTrace{})
		}
		d := &g.Losses[i].Data
		if span := lossSpan(d); !k.Losses[i].has(span) {
			k.Losses[i].keep(t, tapCalled(d.Tap, e), span, lossChannels(g.sheet))
		}
	}
}

// latestOf is the evidence that a trace is about.
func latestOf(list []event.Span) (span event.Span, ok bool) {
	if len(list) == 0 {
		return span, false
	}
	return list[len(list)-1], true
}

// lossSpan is the part of a loss that its trace is about.
func lossSpan(d *event.LossData) event.Span {
	end := d.LiveNS.Add(max(d.FailsafeNS, d.SettledNS, d.SilentNS, d.ModeNS, d.BackNS, min(d.WatchedNS, 5*unit.Second), 0))
	return event.Span{From: d.LiveNS, To: min(end, d.LiveNS.Add(traceMost))}
}

// lossChannels are those that the sheet has: the preset of each matters.
func lossChannels(s *sheet.Sheet) (channels []int) {
	for i := range s.Channels {
		if n := s.Channels[i].Number; !s.Digital(n) {
			channels = append(channels, n)
		}
	}
	return channels
}

// ofClaim and ofLoss are what was kept for one of them, nil for nothing.
func (k *keptTraces) ofClaim(i int) *keptTrace { return keptAt(k.Claims, i) }
func (k *keptTraces) ofLoss(i int) *keptTrace  { return keptAt(k.Losses, i) }

func keptAt(list []keptTrace, i int) *keptTrace {
	if i < len(list) {
		return &list[i]
	}
	return nil
}

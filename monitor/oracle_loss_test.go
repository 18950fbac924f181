package monitor_test

import (
	"fmt"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// lossMeasured holds what is reported of a loss to what the receiver really did.
func lossMeasured(w *scene, e *event.Event) string {
	d := e.Data.(event.LossData)
	for name, t := range map[string]unit.Duration{"lost": d.LostNS, "failsafe": d.FailsafeNS, "silent": d.SilentNS,
		"settled": d.SettledNS, "mode": d.ModeNS, "on": d.OnNS, "back": d.BackNS} {
		if t < -1 {
			return name + "_ns is negative"
		}
	}
	g := w.lossOf(&d, e)
	if d.Class == event.LossNone {
		if g != nil && g.lasts() > 2*unit.Second {
			return "the signal was gone"
		}
		return ""
	}
	switch {
	case g == nil && d.Class == event.LossUnclear && d.DatedBy == "builder":
		return "" // the builder's word, and that nobody can tell
	case g == nil:
		return "no link was lost"
	}
	for _, judge := range []func(*scene, *event.Event, *event.LossData, *gone) string{lossFlags, lossTimes, lossChannels, lossReturn} {
		if why := judge(w, e, &d, g); why != "" {
			return why
		}
	}
	return ""
}

// lossOf is the loss that is reported: the one that begins nearest to it.
func (w *scene) lossOf(d *event.LossData, e *event.Event) (best *gone) {
	for _, g := range w.ofLoss(e.At) {
		if g.lasts() < 300*unit.Millisecond || g.to < d.LiveNS {
			continue
		}
		if best == nil || unit.Abs(g.from.Sub(d.LiveNS)) < unit.Abs(best.from.Sub(d.LiveNS)) {
			best = g
		}
	}
	return best
}

func lossFlags(_ *scene, _ *event.Event, d *event.LossData, g *gone) string {
	failsafe, lost := g.flagged() >= 0, run(g.frames, withFlag(bus.Lost)) >= 0
	switch d.Flag {
	case event.FlagClassInTime, event.FlagClassLate:
		if !failsafe {
			return "the failsafe flag never came"
		}
	case event.FlagClassLostOnly:
		if failsafe {
			return "the failsafe flag came"
		}
	case event.FlagClassNever:
		if failsafe || lost {
			return "flags came"
		}
	}
	return ""
}

func lossTimes(w *scene, e *event.Event, d *event.LossData, g *gone) string {
	off := slack + w.late + w.stalled(e)
	live := off + map[string]unit.Duration{
		"stirred": 500 * unit.Millisecond, // a hand may have paused
		"builder": 10 * unit.Second, "unknown": 10 * unit.Second, "leapt": 10 * unit.Second,
	}[d.DatedBy]
	if !g.dates(d.LiveNS, live) && (g.from.Sub(d.LiveNS) > live || d.LiveNS.Add(-d.DoubtNS).Sub(g.from) > live) {
		return fmt.Sprintf("the last live frame was at %.3f s", float64(g.from)/1e9)
	}
	if d.FailsafeNS >= 0 && d.DatedBy != "unknown" && d.DatedBy != "flags" && unit.Abs(d.LiveNS.Add(d.FailsafeNS).Sub(g.from)-g.flagged()) > off {
		return fmt.Sprintf("the failsafe flag came %.3f s after the last live frame", float64(g.flagged())/1e9)
	}
	if d.SilentNS >= 0 && (g.silent() < 0 || unit.Abs(d.LiveNS.Add(d.SilentNS).Sub(g.silent())) > off) {
		return "it did not fall silent then"
	}
	return ""
}

// unflaggedAgain reports that frames without a flag began about a moment, behind
// flagged ones.
func (w *scene) unflaggedAgain(at unit.Time, off unit.Duration) bool {
	flagged := false
	for _, f := range w.between(at.Add(-off-100*unit.Millisecond), at.Add(off)) {
		if flagged && plain(&f) && !f.Wrong {
			return true
		}
		flagged = flagged || !plain(&f)
	}
	return false
}

func lossChannels(w *scene, _ *event.Event, d *event.LossData, g *gone) string {
	for i := range d.Channels {
		if why := lossChannel(w, &d.Channels[i], i+1, g); why != "" {
			return why
		}
	}
	return ""
}

func lossChannel(w *scene, c *event.LossChannel, number int, g *gone) string {
	silent := g.silent() >= 0
	switch c.Class {
	case event.LossSilent:
		if !silent {
			return fmt.Sprintf("channel %d did not fall silent", number)
		}
		return ""
	case event.LossMoving:
		return fmt.Sprintf("nothing moved channel %d", number)
	case event.LossUnclear, event.LossUnderWay:
		return ""
	}
	return lossRests(w, c, number, g, silent)
}

// lossRests: where a channel that is reported came to rest.
func lossRests(w *scene, c *event.LossChannel, number int, g *gone, silent bool) string {
	count, _, rests := g.rests(number)
	now, was := w.sh.Width(count), w.width(g.was, number)
	held := rests && g.stayed(w, number, count)
	preset := c.Class == event.LossPreset
	about := max(now-was, was-now) <= w.sh.Tolerance.Preset
	if preset && (held || !rests) || !preset && rests && !held && !about || rests && !silent && max(c.NowNS-now, now-c.NowNS) > near {
		return fmt.Sprintf("channel %d went from %d to %d", number, was, now)
	}
	return ""
}

func lossReturn(w *scene, e *event.Event, d *event.LossData, g *gone) string {
	off := slack + w.late + w.stalled(e)
	back := fmt.Sprintf("the signal was back at %.3f s", float64(g.to)/1e9)
	if d.BackNS < 0 {
		if d.OnNS >= 0 && g.back && g.to < e.At.Add(2*unit.Second) && g.lasts() > 2*unit.Second {
			return back
		}
		return ""
	}
	switch {
	case !g.back:
		return "the signal never came back"
	case d.DatedBy == "builder" || w.unflaggedAgain(d.LiveNS.Add(d.BackNS), off): // the flags went with the first packet, whatever the receiver sent on
		return ""
	case unit.Abs(d.LiveNS.Add(d.BackNS).Sub(g.to)) > off+500*unit.Millisecond:
		return back
	}
	return ""
}

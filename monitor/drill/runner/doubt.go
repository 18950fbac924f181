package runner

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// tooEarly: an Enter that comes so shortly after a prompt which came by itself was
// meant for the one before.
const tooEarly = unit.Second

// doubt is what speaks against an Enter as an answer, or came too early with it.
type doubt struct {
	what string // a clause, for the answer; "" for nothing
	ask  string // what the builder is asked before it is an answer, a sentence; "" where there is nothing to ask
}

// doubtAnswer says what an Enter has to be asked about before it is an answer: a prompt that
// asked for a control which did not move, which moved the other way, or which stands at its
// preset still. An Enter again then answers, and what moved until the first counts. Who can't
// be asked is answered at once; the answer has the doubt either way.
func (r *Runner) doubtAnswer(at unit.Time, h *BusState) doubt {
	p := &r.plan().Prompts[r.At]
	switch early := r.early(p, at, h); {
	case early != "":
		return doubt{what: early}
	case p.Until.Angle:
		return r.doubtAngle(p, at, h)
	case p.Asks.Act == drill.ActRound:
		return r.doubtRound(p, at, h)
	case p.Until.Told || p.Until.Marks:
		return r.doubtWords(&p.Until)
	case len(p.Until.AwayFrom) > 0:
		return r.doubtAway(&p.Until, at, h)
	case r.Track.Frames == 0 || r.Track.Signal != event.SignalLive:
		return doubt{}
	}
	return r.doubtMove(&p.Until)
}

// early says that an Enter came before the wire, or the time, answered, and what is lost by
// that; "" where it did not, or nothing is.
func (r *Runner) early(p *drill.Prompt, at unit.Time, h *BusState) string {
	left := p.Until.After - at.Sub(r.Since)
	switch {
	case p.Early == "" || p.Until.Loss == "" && left <= 0 || p.Until.Loss != "" && reached(h.Loss, p.Until.Loss):
		return ""
	case p.Until.Loss != "":
		return "before the wire showed it: " + p.Early
	}
	return fmt.Sprintf("%s before its time: %s", unit.FormatDuration(left), p.Early)
}

// doubtAway is about channels that were to be put away from their presets.
func (r *Runner) doubtAway(await *drill.Condition, at unit.Time, h *BusState) doubt {
	const ask = "%s: press Enter again to go on so, and what the receiver does there may not be told; or move it elsewhere now"
	names := r.atPreset(await, at, h)
	switch len(names) {
	case 0:
		return doubt{}
	case 1:
		what := names[0] + " stands where it should go without a signal"
		return doubt{what, fmt.Sprintf(ask, what)}
	}
	what := text.And(names) + " stand where they should go without a signal"
	return doubt{what, strings.Replace(fmt.Sprintf(ask, what), "move it", "move them", 1)}
}

// atPreset names the channels that stand at the presets which they were to be away from, by
// the latest live frames: an Enter may come before the first one behind its prompt.
func (r *Runner) atPreset(await *drill.Condition, at unit.Time, h *BusState) (names []string) {
	n := len(r.Track.Window)
	if n < median.Window || h.Signal != event.SignalLive || at.Sub(r.Track.Window[n-1].Wire) > hole {
		return nil
	}
	for _, c := range await.AwayFrom {
		if w := r.Track.middle(c.Channel - 1); c.Preset.Met(w, w, sheet.VisibleChange) {
			names = append(names, r.name(c.Channel))
		}
	}
	return names
}

// doubtMove is about controls that were to be moved.
func (r *Runner) doubtMove(await *drill.Condition) doubt {
	if name := r.opposite(await); name != "" {
		what := name + " went the other way"
		return doubt{what, what + ": press Enter again if it is held as asked, or move it there now"}
	}
	wanted := r.undone(await)
	others := r.others(await)
	switch {
	case len(wanted) == 0:
		return doubt{}
	case len(others) == 0:
		return doubt{text.And(wanted) + " did not move",
			fmt.Sprintf("no channel moved: press Enter again if %s is really there, or move it now", text.And(wanted))}
	}
	what := fmt.Sprintf("%s moved, %s was asked for", text.And(others), text.And(wanted))
	return doubt{what, what + ": press Enter again if the right control was moved, or move the other one now"}
}

// opposite names a stick that was asked for and went to the side of its other end, ""
// for none.
func (r *Runner) opposite(await *drill.Condition) string {
	for _, g := range await.Targets {
		m := r.Track.moves([]int{g.Channel})[0]
		turned := (m.ToNS > m.FromNS) != (g.Width > m.FromNS) && unit.Abs(g.Width-m.FromNS) > drill.NearEnd
		if await.Away && turned && unit.Abs(m.ToNS-m.FromNS) >= drill.NearEnd {
			return r.name(g.Channel)
		}
	}
	return ""
}

// undone names the controls that a prompt asked for and that did not move, none if
// one of them did.
func (r *Runner) undone(await *drill.Condition) (names []string) {
	for _, g := range asked(await) {
		m := r.Track.moves([]int{g.Channel})[0]
		if went(m) >= drill.NearEnd {
			return nil
		}
		if unit.Abs(m.ToNS-g.Width) > g.Within || await.Away {
			names = append(names, r.name(g.Channel))
		}
	}
	return names
}

// asked are the channels that a prompt asks to be moved. Where the wire can't show
// whether one is there, no width is near.
func asked(a *drill.Condition) []drill.Target {
	if a.Moves == 0 {
		return a.Targets
	}
	return append(a.Targets[:len(a.Targets):len(a.Targets)], drill.Target{Channel: a.Moves})
}

// others names the channels of the sheet that moved and were not asked for. A stick
// that went home was let go.
func (r *Runner) others(await *drill.Condition) (names []string) {
	for _, m := range r.Track.moves(r.channels) {
		c, ok := r.sheet.Channel(m.Channel)
		if !ok || went(m) < drill.NearEnd || targets(await, m.Channel) || restPlace(c, m) {
			continue
		}
		names = append(names, c.Name)
	}
	return names
}

func targets(a *drill.Condition, channel int) bool {
	return slices.ContainsFunc(asked(a), func(g drill.Target) bool { return g.Channel == channel })
}

func restPlace(c *sheet.Channel, m event.ChannelMove) bool {
	return c.Neutral != 0 && unit.Abs(m.FromNS-c.Neutral) > drill.NearEnd && unit.Abs(m.ToNS-c.Neutral) <= drill.NearEnd
}

// went is how far a channel was at most from where it stood.
func went(m event.ChannelMove) unit.Width { return max(m.MostNS-m.FromNS, m.FromNS-m.LeastNS) }

func (r *Runner) name(channel int) string {
	if c, ok := r.sheet.Channel(channel); ok {
		return c.Name
	}
	return fmt.Sprintf("channel %d", channel)
}

// askAgain has the builder think again. What moved so far is put aside, so that the
// right control may still be moved, alone; where none was asked for, all goes on.
func (r *Runner) askAgain(why string, at unit.Time, emit event.Emit) {
	aside := *r.Track
	aside.Window, aside.Recent = append([]Sample(nil), aside.Window...), append([]Sample(nil), aside.Recent...)
	r.Doubted = &aside
	if len(asked(&r.plan().Prompts[r.At].Until)) > 0 {
		r.Track.begin()
	}
	r.hint(why, at, emit)
}

// insist takes the same Enter again: if the control did not move since, what was put
// aside counts.
func (r *Runner) insist() {
	controls := asked(&r.plan().Prompts[r.At].Until)
	if r.Doubted == nil || len(controls) == 0 {
		return
	}
	for _, g := range controls {
		if m := r.Track.moves([]int{g.Channel})[0]; r.Track.Frames > 0 && went(m) >= drill.NearEnd {
			return
		}
	}
	latest := r.Track.Window
	*r.Track = *r.Doubted
	r.Track.Window = latest
}

func (r *Runner) hint(why string, at unit.Time, emit event.Emit) {
	emit(event.DrillHint, at, r.about(), event.DrillHintData{Prompt: r.plan().Prompts[r.At].ID, Why: why})
}

package drill

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// tooEarly: an Enter that comes so shortly after a prompt which came by itself was
// meant for the one before.
const tooEarly = unit.Second

// doubtAnswer says what an Enter has to be asked about before it is an answer, "" for
// nothing: a prompt that asked for a control which did not move, or which moved the
// other way. An Enter again
// then answers, and what moved until the first counts.
func (r *Runner) doubtAnswer() string {
	await := &r.plan().Prompts[r.At].Until
	if !r.Attended || r.Doubted != nil || r.Track.Frames == 0 || r.Track.Signal != event.SignalLive {
		return ""
	}
	if name := r.opposite(await); name != "" {
		return fmt.Sprintf("%s went the other way: press Enter again if it is held as asked, or move it there now", name)
	}
	wanted := r.undone(await)
	others := r.others(await)
	switch {
	case len(wanted) == 0:
		return ""
	case len(others) == 0:
		return fmt.Sprintf("no channel moved: press Enter again if %s is really there, or move it now", text.And(wanted))
	}
	return fmt.Sprintf("%s moved, %s was asked for: press Enter again if the right control was moved, or move the other one now",
		text.And(others), text.And(wanted))
}

// opposite names a stick that was asked for and went to the side of its other end, ""
// for none.
func (r *Runner) opposite(await *Condition) string {
	for _, g := range await.Targets {
		m := r.Track.moves([]int{g.Channel})[0]
		turned := (m.ToNS > m.FromNS) != (g.Width > m.FromNS) && unit.Abs(g.Width-m.FromNS) > nearEnd
		if await.Away && turned && unit.Abs(m.ToNS-m.FromNS) >= nearEnd {
			return r.name(g.Channel)
		}
	}
	return ""
}

// undone names the controls that a prompt asked for and that did not move, none if
// one of them did.
func (r *Runner) undone(await *Condition) (names []string) {
	for _, g := range asked(await) {
		m := r.Track.moves([]int{g.Channel})[0]
		if went(m) >= nearEnd {
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
func asked(a *Condition) []Target {
	if a.Moves == 0 {
		return a.Targets
	}
	return append(a.Targets[:len(a.Targets):len(a.Targets)], Target{Channel: a.Moves})
}

// others names the channels of the sheet that moved and were not asked for. A stick
// that went home was let go.
func (r *Runner) others(await *Condition) (names []string) {
	for _, m := range r.Track.moves(r.channels) {
		c, ok := r.sheet.Channel(m.Channel)
		if !ok || went(m) < nearEnd || targets(await, m.Channel) || restPlace(c, m) {
			continue
		}
		names = append(names, c.Name)
	}
	return names
}

func targets(a *Condition, channel int) bool {
	return slices.ContainsFunc(asked(a), func(g Target) bool { return g.Channel == channel })
}

func restPlace(c *sheet.Channel, m event.ChannelMove) bool {
	return c.Neutral != 0 && unit.Abs(m.FromNS-c.Neutral) > nearEnd && unit.Abs(m.ToNS-c.Neutral) <= nearEnd
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
// right control may still be moved, alone.
func (r *Runner) askAgain(why string, at unit.Time, emit event.Emit) {
	aside := *r.Track
	aside.Window, aside.Recent = append([]Sample(nil), aside.Window...), append([]Sample(nil), aside.Recent...)
	r.Doubted = &aside
	r.Track.begin()
	r.hint(why, at, emit)
}

// insist takes the same Enter again: if the control did not move since, what was put
// aside counts.
func (r *Runner) insist() {
	if r.Doubted == nil {
		return
	}
	for _, g := range asked(&r.plan().Prompts[r.At].Until) {
		if m := r.Track.moves([]int{g.Channel})[0]; r.Track.Frames > 0 && went(m) >= nearEnd {
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

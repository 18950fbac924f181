package runner

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// How long a drill waits for the builder.
const (
	builderPatience = 120 * unit.Second // since what is asked for moved last
	mostPatience    = 600 * unit.Second // since the prompt: something that moves without an end is no builder
	warnedBefore    = 30 * unit.Second  // its end
)

// endsSoon warns of the end of a drill.
const endsSoon = "The drill ends by itself in less than 30 s: do what is asked for, or answer."

// Due is when the builder has been waited for long enough.
func (r *Runner) Due() unit.Time {
	if r.Name == "" {
		return unit.Never
	}
	if r.walking() {
		return r.Since.Add(builderPatience + walkPatience)
	}
	due := min(max(r.Since, r.Moved).Add(builderPatience), r.Since.Add(mostPatience))
	if r.Confirmed {
		due = due.Add(r.plan().Prompts[r.At].Until.After)
	}
	return due
}

// Expire ends a drill that nobody follows.
func (r *Runner) Expire(_ unit.Time, emit event.Emit) {
	waited := r.Due().Sub(r.Since)
	if r.Confirmed {
		waited -= r.plan().Prompts[r.At].Until.After
	}
	r.end("timed out", fmt.Sprintf("nothing was answered for %d minutes", waited/unit.Second/60), emit)
}

// attends has the builder's time begin anew where a control moved that is asked for.
func (r *Runner) attends(at unit.Time) {
	now := &r.Track.Recent[len(r.Track.Recent)-1].Widths
	if r.Track.Frames == 1 {
		r.Stood = *now
		return
	}
	moved := false
	for _, c := range r.concernsNow() {
		if unit.Abs(now[c-1]-r.Stood[c-1]) > nearStill {
			r.Stood[c-1], moved = now[c-1], true
		}
	}
	if moved {
		r.Moved = at
	}
}

// concernsNow are the concerns of the prompt that stands, worked out once for each: no frame may
// cost an allocation.
func (r *Runner) concernsNow() []int {
	if p := &r.plan().Prompts[r.At]; r.concerned.prompt != p.ID {
		r.concerned.prompt, r.concerned.channels = p.ID, r.concerns(&p.Until)
	}
	return r.concerned.channels
}

// concerns are the channels of the controls that a prompt names; where it names none, of all that hands move.
func (r *Runner) concerns(u *drill.Condition) (channels []int) {
	for _, g := range asked(u) {
		channels = append(channels, g.Channel)
	}
	for _, a := range u.AwayFrom {
		channels = append(channels, a.Channel)
	}
	for _, b := range u.Beside {
		channels = append(channels, b.Channel)
	}
	if len(channels) > 0 {
		return channels
	}
	for i := range r.sheet.Channels {
		if c := &r.sheet.Channels[i]; c.Kind != sheet.Fixed {
			channels = append(channels, c.Number)
		}
	}
	return channels
}

// left is how long the drill waits on, 0 where the prompt ends by itself before that.
func (r *Runner) left(now unit.Time) unit.Duration {
	if r.Name == "" || r.Finished || r.Confirmed && r.plan().Prompts[r.At].Until.After > 0 {
		return 0
	}
	return max(1, r.Due().Sub(now))
}

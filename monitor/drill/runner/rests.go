package runner

import (
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/answer"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What is said of a rest from which nothing follows, and of an angle that is asked about.
const (
	wasNoLiveLink = "the receiver did not hear its transmitter, so nobody knows what it was asked for"
	wasOtherMode  = "the bus asked for another mode"
	leavesThemAsk = "the outputs do not rest: hold the model still, or prop it up, and type the angle again; press Enter alone to leave it out"
	wantsAngle    = "type the angle that was read; press Enter again to leave it out"
	wantsFelt     = "no phone on the model feels the angle: see that it is heard, and how it lies (drill laying), or " + wantsAngle
	noAngle       = "no angle was typed"
)

const (
	restSpan = unit.Second // how long the outputs are looked at before an angle is typed
	// restSway is how far an output goes to and fro that counts as resting, ns: six times what a good receiver
	// strays at rest (common practice).
	restSway = 15_000
	// countWithin is how well the attitude for flying is found again, millidegrees (an assumption of ours).
	countWithin = 500
)

// rests takes the rest that an answered prompt asked for: of a typed angle, or of a count.
func (r *Runner) rests(p *drill.Prompt, at unit.Time, h *BusState, emit event.Emit) {
	if !p.Asks.Rests() {
		return
	}
	f := r.feels(p, at, h)
	if f != nil && f.flying {
		r.Flying = &f.lies.Rest
	}
	if rest, said := r.restSaidOrFelt(f, p, at); said {
		r.rested(rest, f, p, at, h, emit)
	}
}

// restSaidOrFelt is the rest that a phone felt, or else that somebody said; false where there is neither.
func (r *Runner) restSaidOrFelt(f *felt, p *drill.Prompt, at unit.Time) (rest event.Rest, said bool) {
	rest, said = r.restSaid(p, at)
	if f == nil {
		return rest, said
	}
	if said && rest.By == event.RestTyped && p.Until.Angle {
		f.beside(&rest)
	}
	if f.rest.ToNS != 0 && (f.why == "" || !said) {
		return f.rest, true
	}
	return rest, said
}

// restSaid is the rest as a person says it, or as it follows from the count; false where nobody said an angle.
func (r *Runner) restSaid(p *drill.Prompt, at unit.Time) (rest event.Rest, said bool) {
	rest = event.Rest{Axis: p.Asks.Axis, DoubtMDeg: countWithin, FromNS: at.Add(-restSpan), ToNS: at, By: event.RestCounted}
	switch {
	case p.Until.Angle:
		angle, within, err := drill.Angle(r.Words)
		if r.Words == "" || err != nil {
			return rest, false
		}
		rest.AngleMDeg, rest.DoubtMDeg, rest.By = angle*int64(p.Asks.Side), within, event.RestTyped
	case p.Asks.Act == drill.ActEnter:
		rest.AngleMDeg, rest.DoubtMDeg, rest.By = r.propped(p.Asks.Axis)
	}
	return rest, true
}

// propped is the angle of the latest rest about an axis, at which the model still is.
func (r *Runner) propped(axis string) (angle, within int64, by event.RestBy) {
	for _, d := range slices.Backward(r.Rests) {
		if d.Axis == axis {
			return d.AngleMDeg, d.DoubtMDeg, d.By
		}
	}
	return 0, 0, event.RestCounted
}

// rested takes that the model rested at an angle at a prompt which asks for that, whoever says so:
// who typed the angle, or a phone that felt it; f is what that felt, nil for nothing. The instants lie
// within the last five seconds.
func (r *Runner) rested(rest event.Rest, f *felt, p *drill.Prompt, at unit.Time, h *BusState, emit event.Emit) {
	d := event.ModelRestedData{
		Rest: rest, Prompt: p.ID, Mode: h.Mode, Asked: p.Asks.Mode, Side: p.Asks.Side, Last: p.Asks.Last, GainAt: p.Asks.GainAt,
		Outputs: []event.OutputRest{}, Sticks: []unit.Width{},
	}
	r.stood(&d)
	for _, o := range r.restingOutputs(rest.Axis) {
		d.Outputs = append(d.Outputs, r.Outputs.at(o).rest(rest.FromNS, rest.ToNS))
	}
	d.Why = r.restDoubt(&d, h)
	if f != nil {
		f.answered(&d, &r.Outputs)
		if r.Round != nil && d.By == event.RestFelt {
			d.BiasWithinMDeg = r.Round.DoubtCdeg * 10
		}
		if d.Why == "" {
			d.Why = f.why
		}
	}
	r.Rests = slices.DeleteFunc(r.Rests, func(was event.ModelRestedData) bool { return was.Prompt == d.Prompt })
	r.Rests = append(r.Rests, d)
	emit(event.ModelRested, rest.FromNS, r.about(), d)
	if d.Last {
		answer.Figures(r.sheet, r.Rests, func(kind, about string, data any) { emit(kind, at, about, data) })
	}
}

// stood puts in where gain and sticks stand.
func (r *Runner) stood(d *event.ModelRestedData) {
	n := len(r.Track.Recent)
	if n == 0 {
		return
	}
	now := &r.Track.Recent[n-1].Widths
	if g := r.sheet.Gain; g != nil && g.Channel != 0 {
		d.GainNS = now[g.Channel-1]
	}
	for _, c := range r.sticks {
		d.Sticks = append(d.Sticks, now[c-1])
	}
}

// restDoubt says why nothing follows from a rest, "" where something may.
func (r *Runner) restDoubt(d *event.ModelRestedData, h *BusState) string {
	switch {
	case r.Track.Frames == 0 || r.Track.Signal != event.SignalLive || h.Suspect:
		return wasNoLiveLink
	case d.Asked != "" && d.Mode != d.Asked:
		return wasOtherMode
	case d.GainAt != 0 && d.Side != 0 && r.gainTurned():
		return answer.GainMoved
	}
	return ""
}

// gainTurned reports that the gain knob moved since the prompt.
func (r *Runner) gainTurned() bool {
	m := r.Track.moves([]int{r.sheet.Gain.Channel})[0]
	return m.MostNS-m.LeastNS > answer.StrayLeast
}

// restingOutputs are those that correct an axis; all that correct anything where none is named.
func (r *Runner) restingOutputs(axis string) (list []int) {
	for i := range r.sheet.Outputs {
		o := &r.sheet.Outputs[i]
		if axis == "" && len(o.Corrects) > 0 || slices.Contains(o.Corrects, axis) {
			list = append(list, o.Number)
		}
	}
	return list
}

// rest is where an output stood from one instant to another.
func (o *OutputTrack) rest(from, to unit.Time) event.OutputRest {
	var sum, widths int64
	rest := event.OutputRest{Output: o.Output}
	tenths := o.since(tenthOf(from))
	if i := slices.IndexFunc(tenths, func(t TenthSums) bool { return t.Number > tenthOf(to) }); i >= 0 {
		tenths = tenths[:i]
	}
	for _, t := range tenths {
		sum += t.Sum
		widths += t.Widths
	}
	if widths == 0 {
		return rest
	}
	rest.MeanNS, rest.SwayNS = unit.Width(sum/widths), stray(tenths)
	if o.From != 0 && o.Least != 0 {
		rest.KickNS = max(o.Most-o.From, o.From-o.Least)
	}
	return rest
}

// doubtNoAngle is about an angle that was neither typed nor felt.
func (r *Runner) doubtNoAngle(p *drill.Prompt) doubt {
	if r.phone.Number != 0 && p.Asks.Axis != sheet.Yaw {
		return doubt{noAngle, wantsFelt}
	}
	return doubt{noAngle, wantsAngle}
}

// doubtAngle is about an angle that was typed, or felt.
func (r *Runner) doubtAngle(p *drill.Prompt, at unit.Time, h *BusState) doubt {
	f := r.feels(p, at, h)
	rest, said := r.restSaid(p, at)
	if f != nil && said {
		f.beside(&rest)
	}
	switch {
	case f != nil && f.why != "":
		return doubt{f.why, f.ask}
	case f == nil && !said:
		return r.doubtNoAngle(p)
	}
	for _, o := range r.restingOutputs(p.Asks.Axis) {
		if r.Outputs.at(o).rest(at.Add(-restSpan), at).SwayNS >= restSway {
			return doubt{"the outputs did not rest", leavesThemAsk}
		}
	}
	return doubt{}
}

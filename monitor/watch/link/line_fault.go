package link

import (
	"strconv"
	"strings"

	"benchproof.example/decode/linefault"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	faultSpan = 1500 * unit.Millisecond // is looked at, at once
	faultMore = 250 * unit.Millisecond  // is waited for more characters
	faultLeft = unit.Second             // without a character: it is over
	fewChars  = 20                      // show nothing
	likely    = 60                      // of a hundred
	// neverCame is how long nothing may come on a line that was never heard until that is
	// said. A deadline is believed up to 1.2 s later.
	neverCame = 1750 * unit.Millisecond
)

// LineFault says why nothing can be read on a line. It sees the characters of a tap only
// while no frame comes that could be believed.
//
//	characters     ################## ################## ##################
//	looked at     |<--- 1.5 s ------>|<---------------->|<---------------->|
//	                                 ^ line.fault        ^ the same: not again
//
// Another cause is said once two stretches in a row show it and it is likely: what can hardly
// be told apart is not said in turns. Frames end it all. That nothing
// comes at all is said once, of a line on which nothing ever came, and in no drill: many
// begin with a receiver that is off.
type LineFault struct {
	Tap    uint8
	Up     bool
	Heard  bool             // characters came in this session
	Counts *linefault.Heard // of the stretch that is looked at, nil while there is none
	Since  unit.Time        // where it began, or the tap came up
	Until  unit.Time        // its end
	Said   string           // cause and detail, as last said; "": none
	Other  string           // what the latest stretch showed, where that is another one
}

// See implements Watcher.
func (l *LineFault) See(o *event.Observation, v *base.View, _ event.Emit) {
	switch {
	case base.TapClosed(o, l.Tap):
		l.over(v)
		l.Up = false
	case o.Tap != l.Tap:
	case o.Kind == event.InputTapUp:
		l.over(v)
		l.Up, l.Since, l.Until = true, o.At, o.At.Add(neverCame)
	case o.Kind == event.InputBytes, o.Kind == event.InputBadBytes:
		l.characters(o)
	case o.Kind == event.InputOverrun && l.Counts != nil:
		n, _ := strconv.ParseInt(string(o.Data), 10, 64)
		l.Counts.Lost += max(n, 0)
	case o.Kind == event.FrameSeen:
		l.frame(o, v)
	}
}

func (l *LineFault) characters(o *event.Observation) {
	l.Heard = true
	if l.Counts == nil {
		l.Counts, l.Since, l.Until = &linefault.Heard{}, o.At, o.At.Add(faultSpan)
	}
	l.Counts.Feed(o.Data, int64(o.At), o.Kind == event.InputBadBytes)
}

func (l *LineFault) frame(o *event.Observation, v *base.View) {
	l.Heard = true
	switch {
	case !o.Frame.Bad:
		l.over(v)
	case l.Counts != nil:
		l.Counts.Framed += int64(v.Protocol.FrameLen)
	}
}

// over forgets what was found.
func (l *LineFault) over(v *base.View) {
	l.Counts, l.Said, l.Other = nil, "", ""
	v.Taps[l.Tap].LineFault = nil
}

// Due implements Watcher.
func (l *LineFault) Due() unit.Time {
	if l.Counts == nil && (l.Heard || !l.Up || l.Said != "") {
		return unit.Never
	}
	return l.Until
}

// Expire implements Watcher.
func (l *LineFault) Expire(at unit.Time, v *base.View, emit event.Emit) {
	switch {
	case l.Counts == nil && v.Drill != "":
		l.Until = at.Add(faultSpan)
	case l.Counts == nil:
		l.report(&linefault.Heard{}, at, v, emit)
	case at.Sub(unit.Time(l.Counts.LastRead)) > faultLeft:
		l.over(v)
	case l.Counts.Chars < fewChars:
		l.Until = at.Add(faultMore)
	default:
		l.report(l.Counts, at, v, emit)
		*l.Counts = linefault.Heard{}
		l.Since, l.Until = at, at.Add(faultSpan)
		l.Counts.LastRead = int64(at)
	}
}

// Rests implements base.Sleeper: frames come, and nothing is said of the line.
func (l *LineFault) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if l.Counts != nil || l.Said != "" || !l.Heard {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (l *LineFault) Pass(int, base.Calm, *base.View) {}

// report judges a stretch, and says what is new.
func (l *LineFault) report(h *linefault.Heard, at unit.Time, v *base.View, emit event.Emit) {
	span := int64(at.Sub(l.Since))
	f := linefault.Judge(v.Protocol.Name, h, span)
	detail := ""
	if f.Cause == linefault.Rate {
		detail = f.Detail
	}
	found := strings.TrimSpace(f.Cause.String() + " " + detail)
	if f.Healthy() || found == l.Said {
		l.Other = ""
		return
	}
	if l.Said != "" && (found != l.Other || f.Sure < likely) {
		l.Other = found
		return
	}
	l.Said, l.Other = found, ""
	t := &v.Taps[l.Tap]
	t.LineFault = faultData(f, h, span, v)
	t.LineFault.Detail = detail
	emit(event.LineFault, l.Since, t.About(), *t.LineFault)
}

func faultData(f linefault.Finding, h *linefault.Heard, span int64, v *base.View) *event.LineFaultData {
	d := event.LineFaultData{
		Cause: f.Cause.String(), Sure: int64(f.Sure), Sentence: f.Sentence(), Evidence: h.Evidence(span), Remedy: f.Advice(v.Protocol.Line),
	}
	if f.OrSure > 0 {
		d.Or, d.OrSure = f.Or.String(), int64(f.OrSure)
	}
	return &d
}

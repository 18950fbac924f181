package page

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/unit"
)

// plot is a trace ready for drawing: one strip below the other, one for each
// channel, over one axis of time. Strips need no colour to be distinguished.
type plot struct {
	ID     string
	Label  string // for those who can't see it
	W, H   int
	Left   int // where the strips begin
	Right  int // where they end
	Bottom int // of the strips
	Zones  []zone
	Strips []strip
	Marks  []tick
	Ticks  []tick
	Spans  []zone // of evidence
}

// zone is a stretch of the time axis in which the tap carried something else
// than a live transmitter's values.
type zone struct {
	X, W  string
	Class string // "missed", "failsafe" or "silent"
}

type strip struct {
	Y, H int // top and height
	Mid  int // baseline of its texts
	Name string
	Last string // width where it ends
	Path string
}

type tick struct {
	X, Text string
	Y       int  // of its text
	Before  bool // its text ends here, since beyond it would be cut off
}

// plotSize is how large a plot is drawn.
type plotSize struct {
	width, strip, left, right int
	axis                      bool
}

var (
	large   = plotSize{width: 700, strip: 25, left: 92, right: 84, axis: true}
	onFirst = plotSize{width: 350, strip: 22, left: 62, right: 60, axis: true}
	small   = plotSize{width: 170, strip: 20, left: 2, right: 2}
)

// leastRange is the least height of a strip, ns of width, so that the jitter of
// one count does not look like a movement.
const leastRange = 80_000

// moment is a dated line across a plot.
type moment struct {
	at   unit.Time
	text string
}

func draw(t *record.Trace, l plotSize, spans []event.Span, moments []moment) *plot {
	moments = slices.DeleteFunc(moments, func(m moment) bool { return m.at > t.ToNS }) // the trace ends before
	p := &plot{ID: t.ID, W: l.width, Left: l.left, Right: l.width - l.right}
	if !l.axis {
		p.ID += "-small"
	}
	x := func(at unit.Time) float64 {
		at = min(max(at, t.FromNS), t.ToNS)
		return float64(p.Left) + float64(float64(at.Sub(t.FromNS))/float64(max(1, t.ToNS.Sub(t.FromNS)))*float64(p.Right-p.Left))
	}
	top := 2
	if l.axis {
		top = 4 + 12*len(moments)
	}
	for i := range t.Lines {
		p.Strips = append(p.Strips, drawStrip(&t.Lines[i], t, top+i*l.strip, l.strip-4, x))
	}
	p.Bottom = top + len(t.Lines)*l.strip - 2
	p.H = p.Bottom + 3
	p.zones(t, x)
	for _, s := range spans {
		if s.To >= t.FromNS && s.From <= t.ToNS {
			p.Spans = append(p.Spans, zone{X: px(x(s.From)), W: px(max(1.5, x(s.To)-x(s.From)))})
		}
	}
	if l.axis {
		p.H = p.Bottom + 22
		p.axis(t, x)
		for i, m := range moments {
			p.Marks = append(p.Marks, tick{X: px(x(m.at)), Text: m.text, Y: 10 + 12*i, Before: x(m.at) > float64(p.Right)*3/4})
		}
	}
	p.Label = label(t)
	return p
}

func label(t *record.Trace) string {
	var names []string
	for _, l := range t.Lines {
		names = append(names, l.Title())
	}
	return fmt.Sprintf("Course of %s at tap %s from %s to %s", strings.Join(names, ", "), t.Tap, unit.FormatClock(t.FromNS), unit.FormatClock(t.ToNS))
}

func drawStrip(l *record.TraceLine, t *record.Trace, y, h int, x func(unit.Time) float64) strip {
	s := strip{Y: y, H: h, Mid: y + h/2 + 4, Name: l.Title()}
	if len(l.Points) == 0 {
		return s
	}
	least, greatest := l.Points[0][1], l.Points[0][1]
	for _, p := range l.Points {
		least, greatest = min(least, p[1]), max(greatest, p[1])
	}
	if lack := leastRange - (greatest - least); lack > 0 {
		least, greatest = least-lack/2, greatest+lack/2
	}
	up := func(width int64) float64 {
		return float64(y+h-2) - float64(float64(width-least)/float64(greatest-least)*float64(h-4))
	}
	s.Last = unit.FormatWidth(unit.Width(l.Points[len(l.Points)-1][1]))
	var path strings.Builder
	for i, p := range l.Points {
		if i == 0 {
			fmt.Fprintf(&path, "M%s %s", px(x(unit.Time(p[0]))), px(up(p[1])))
			continue
		}
		fmt.Fprintf(&path, "H%sV%s", px(x(unit.Time(p[0]))), px(up(p[1])))
	}
	fmt.Fprintf(&path, "H%s", px(x(t.ToNS)))
	s.Path = path.String()
	return s
}

func (p *plot) zones(t *record.Trace, x func(unit.Time) float64) {
	for i, s := range t.Signal {
		if s.Whose == string(event.SignalLive) {
			continue
		}
		end := t.ToNS
		if i+1 < len(t.Signal) {
			end = t.Signal[i+1].FromNS
		}
		p.Zones = append(p.Zones, zone{X: px(x(s.FromNS)), W: px(x(end) - x(s.FromNS)), Class: s.Whose})
	}
}

// axis puts a tick at round seconds, as many as there is room for.
func (p *plot) axis(t *record.Trace, x func(unit.Time) float64) {
	const room = 50 // for a tick's text
	step, most := unit.Second/2, unit.Duration((p.Right-p.Left)/room)
	for _, wider := range []unit.Duration{1, 2, 5, 10, 20, 60} {
		if t.ToNS.Sub(t.FromNS)/step <= min(most, 8) {
			break
		}
		step = wider * unit.Second
	}
	for at := t.FromNS.Add(step - 1).Truncate(step); at <= t.ToNS; at = at.Add(step) {
		text := unit.FormatClock(at)
		p.Ticks = append(p.Ticks, tick{X: px(x(at)), Text: text[:len(text)-2], Y: p.Bottom + 14})
	}
}

func px(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.1f", v), "0"), ".")
}

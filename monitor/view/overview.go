package view

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// Overview is what the events of a sitting are summed up as when it ends. It judges
// nothing.
type Overview struct {
	Names event.SheetNames // of the sheet

	taps      []*tapOverview    // in order of appearance
	outputs   []*outputOverview // by number
	modesSeen []ModeSeen
	signals   []string
}

type tapOverview struct {
	name     string
	period   unit.Duration
	switches []position
	board    bool // a capture board on servo leads
	missed   int64
	gaps     int64
	damaged  int64
}

type position struct{ name, at string }

// ModeSeen is one pairing of switch positions with what the bus asked for there.
type ModeSeen struct {
	Tap, Positions, Mode string
	Widths               string
	At                   unit.Time // first seen
	Passing              bool
}

// See takes the next event.
func (f *Overview) See(e *event.Event) {
	switch d := e.Data.(type) {
	case event.SwitchData:
		name, _ := event.AboutSwitch.Name(e.About)
		f.tap(d.Tap).place(name, d.To)
	case event.ModeData:
		f.mode(e, &d)
	case event.FailsafeData, event.LinkData:
		f.signal(e)
	case event.ValuesStillData:
		if e.Kind == event.ValuesStill {
			f.signal(e)
		}
	default:
		if name, ok := event.AboutTap.Name(e.About); ok {
			f.tap(name).line(e)
		}
		f.output(e)
	}
}

func (f *Overview) tap(name string) *tapOverview {
	for _, t := range f.taps {
		if t.name == name {
			return t
		}
	}
	t := &tapOverview{name: name}
	f.taps = append(f.taps, t)
	return t
}

func (t *tapOverview) place(name, at string) {
	for i := range t.switches {
		if t.switches[i].name == name {
			t.switches[i].at = at
			return
		}
	}
	t.switches = append(t.switches, position{name, at})
}

func (t *tapOverview) line(e *event.Event) {
	switch d := e.Data.(type) {
	case event.BoardHeardData:
		t.board = true
	case event.BoardLostData:
		t.board = true
		t.damaged++
	case event.PeriodData:
		t.period = d.PeriodNS
	case event.DamageData:
		t.damaged++
	case event.FramesMissingData:
		t.run(e.Kind, &d)
	}
}

// run counts what a live link missed, and gaps on the wire.
func (t *tapOverview) run(kind string, d *event.FramesMissingData) {
	switch {
	case kind != event.AirMissed:
		t.gaps++
	case !d.Loss:
		t.missed += max(1, d.Runs)
	}
}

// signal takes what is said of the signal.
func (f *Overview) signal(e *event.Event) {
	f.signals = append(f.signals, unit.FormatClock(e.From)+"  "+event.Sentence(e))
}

func (f *Overview) mode(e *event.Event, d *event.ModeData) {
	t := f.tap(d.Tap)
	if d.Signal == event.SignalFailsafe || d.Suspect {
		return // not what the switches asked for
	}
	a := ModeSeen{Tap: d.Tap, Mode: text.ModeName(d.Mode), At: e.From, Passing: d.Passing, Positions: t.positions(d), Widths: widthsOf(d.Widths)}
	same := func(b ModeSeen) bool {
		return a.Tap == b.Tap && a.Positions == b.Positions && a.Mode == b.Mode && a.Passing == b.Passing
	}
	if !slices.ContainsFunc(f.modesSeen, same) {
		f.modesSeen = append(f.modesSeen, a)
	}
}

// positions are those of the switches that choose the mode.
func (t *tapOverview) positions(d *event.ModeData) string {
	var s []string
	for _, p := range t.switches {
		if _, chooses := d.Widths[p.name]; chooses {
			s = append(s, p.name+" "+p.at)
		}
	}
	return strings.Join(s, ", ")
}

func widthsOf(w map[string]unit.Width) string {
	names := make([]string, 0, len(w))
	for n := range w {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		names[i] = unit.FormatWidth(w[n])
	}
	return strings.Join(names, ", ")
}

// Summary is what was heard, in lines, to end a sitting with.
func (f *Overview) Summary() []string {
	lines := []string{"What the switches asked for:"}
	for _, a := range f.modesSeen {
		how := "the bus asks for "
		if a.Passing {
			how = "on the way, passed through "
		}
		lines = append(lines, fmt.Sprintf("  %s  %-30s %s%s (%s)", a.Tap, a.Positions, how, a.Mode, a.Widths))
	}
	if len(f.modesSeen) == 0 {
		lines = append(lines, "  nothing: no mode was heard that a live transmitter asked for")
	}
	lines = append(lines, "What happened to the signal:")
	for _, s := range f.signals {
		lines = append(lines, "  "+s)
	}
	if len(f.signals) == 0 {
		lines = append(lines, "  no failsafe flag was seen; a receiver that never sets one can lose its signal unseen")
	}
	lines = append(lines, f.sideBySide()...)
	lines = append(lines, "The link:")
	for _, t := range f.taps {
		if t.board {
			lines = append(lines, fmt.Sprintf("  %s  lines of the capture board lost or damaged %s", t.name, text.Times(t.damaged)))
			continue
		}
		lines = append(lines, fmt.Sprintf("  %s  a frame every %s; missed on the air %s, gaps on the wire %s, damage on the wire %s",
			t.name, unit.FormatDuration(t.period), text.Times(t.missed), text.Times(t.gaps), text.Times(t.damaged)))
	}
	return lines
}

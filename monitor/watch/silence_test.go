package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

// line is a Silence and what it said.
type line struct {
	view   base.View
	w      link.Silence
	events []event.Event
}

func newLine(t *testing.T) *line {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	return &line{view: base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}}), w: link.Silence{Tap: 1}}
}

func (l *line) emit(kind string, from unit.Time, about string, data any) {
	l.events = append(l.events, event.Event{From: from, Kind: kind, About: about, Data: data})
}

func (l *line) see(o event.Observation) {
	o.Tap = max(o.Tap, 1)
	l.w.See(&o, &l.view, l.emit)
}

// frame is one that was on the wire 2 ms before it was read.
func (l *line) frame(at unit.Time, pace event.Pace) {
	l.see(event.Observation{At: at, Wire: at.Add(-2 * ms), Kind: event.FrameSeen, Frame: &bus.Frame{}, Pace: pace})
}

func TestWhenALineCountsAsSilent(t *testing.T) {
	for _, c := range []struct {
		name string
		pace event.Pace
		want unit.Duration // after the date of the frame
	}{
		{"100 ms at least", event.Pace{Known: true, Period: 7 * ms}, 100 * ms},
		{"five periods", event.Pace{Known: true, Period: 25 * ms}, 125 * ms},
		{"and twice what the adapter clumps", event.Pace{Known: true, Period: 7 * ms, Clump: 16 * ms}, 132 * ms},
		{"longer while the period is not known", event.Pace{}, 300 * ms},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := newLine(t)
			l.frame(unit.Time(unit.Second), c.pace)
			assert.Equal(t, unit.Time(unit.Second+c.want), l.w.Due())
			l.w.Expire(l.w.Due(), &l.view, l.emit)
			assert.Equal(t, event.Event{From: unit.Time(unit.Second - 2*ms), Kind: event.BusSilent, About: "tap:main",
				Data: event.SilentData{LimitNS: c.want}}, l.events[1])
			assert.Equal(t, unit.Never, l.w.Due(), "told once")
		})
	}
}

func TestSilenceBeforeTheFirstFrame(t *testing.T) {
	l := newLine(t)
	assert.Equal(t, unit.Never, l.w.Due(), "the tap is not up")
	l.see(event.Observation{At: unit.Time(20 * ms), Kind: event.InputTapUp})
	assert.Equal(t, unit.Time(2020*ms), l.w.Due())
	l.w.Expire(unit.Time(2020*ms), &l.view, l.emit)
	assert.Equal(t, unit.Time(20*ms), l.events[0].From)
	l.frame(unit.Time(5*unit.Second), event.Pace{})
	assert.Equal(t, event.LockedData{}, l.events[1].Data, "no silence before the first frame")
	l.frame(unit.Time(5*unit.Second+7*ms), event.Pace{})
	assert.Len(t, l.events, 2)
}

func TestNobodyListensToATapThatWent(t *testing.T) {
	for _, kind := range []event.InputKind{event.InputTapDown, event.InputResume, event.InputEnd, event.InputRecordingGap} {
		l := newLine(t)
		l.frame(unit.Time(unit.Second), event.Pace{})
		l.see(event.Observation{At: unit.Time(unit.Second), Kind: kind})
		assert.Equal(t, unit.Never, l.w.Due(), kind)
		l.frame(unit.Time(9*unit.Second), event.Pace{})
		assert.Equal(t, event.LockedData{SilentNS: 8 * unit.Second}, l.events[1].Data)
	}
	l := newLine(t)
	l.frame(unit.Time(unit.Second), event.Pace{})
	l.see(event.Observation{At: unit.Time(unit.Second), Tap: 2, Kind: event.InputTapDown})
	assert.NotEqual(t, unit.Never, l.w.Due(), "another tap")
}

// A mode that was asked for before a silence is old.
func TestWhatWasAskedBeforeASilenceIsOld(t *testing.T) {
	for name, stop := range map[string]func(*line){
		"silence":         func(l *line) { l.w.Expire(l.w.Due(), &l.view, l.emit) },
		"tap that went":   func(l *line) { l.see(event.Observation{Kind: event.InputTapDown}) },
		"tap that is new": func(l *line) { l.see(event.Observation{Kind: event.InputTapUp}) },
	} {
		l := newLine(t)
		tap := &l.view.Taps[1]
		l.frame(unit.Time(unit.Second), event.Pace{})
		tap.ModeKnown = true
		l.frame(unit.Time(unit.Second+7*ms), event.Pace{})
		assert.True(t, tap.ModeKnown && tap.Locked, name)
		stop(l)
		assert.False(t, tap.ModeKnown || tap.Locked, name)
	}
}

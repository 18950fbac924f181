package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/watch"
)

// line is a Silence and what it said.
type line struct {
	view   watch.View
	w      watch.Silence
	events []fact.Event
}

func newLine(t *testing.T) *line {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	return &line{view: watch.NewView(s, []fact.TapName{{Name: "main", Kind: "bus"}}), w: watch.Silence{Tap: 1}}
}

func (l *line) emit(kind string, from fact.Time, about string, data any) {
	l.events = append(l.events, fact.Event{From: from, Kind: kind, About: about, Data: data})
}

func (l *line) see(o fact.Observation) {
	o.Tap = max(o.Tap, 1)
	l.w.See(&o, &l.view, l.emit)
}

// frame is one that was on the wire 2 ms before it was read.
func (l *line) frame(at fact.Time, pace fact.Pace) {
	l.see(fact.Observation{At: at, Wire: at - 2*ms, Kind: fact.FrameSeen, Frame: &servobus.Frame{}, Pace: pace})
}

func TestWhenALineCountsAsSilent(t *testing.T) {
	for _, c := range []struct {
		name string
		pace fact.Pace
		want fact.Time // after the date of the frame
	}{
		{"100 ms at least", fact.Pace{Known: true, Period: 7 * ms}, 100 * ms},
		{"five periods", fact.Pace{Known: true, Period: 25 * ms}, 125 * ms},
		{"and twice what the adapter clumps", fact.Pace{Known: true, Period: 7 * ms, Clump: 16 * ms}, 132 * ms},
		{"longer while the period is not known", fact.Pace{}, 300 * ms},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := newLine(t)
			l.frame(fact.Second, c.pace)
			assert.Equal(t, fact.Second+c.want, l.w.Due())
			l.w.Expire(l.w.Due(), &l.view, l.emit)
			assert.Equal(t, fact.Event{From: fact.Second - 2*ms, Kind: fact.BusSilent, About: "tap:main", Data: fact.SilentData{LimitNS: c.want}}, l.events[1])
			assert.Equal(t, fact.Never, l.w.Due(), "told once")
		})
	}
}

func TestSilenceBeforeTheFirstFrame(t *testing.T) {
	l := newLine(t)
	assert.Equal(t, fact.Never, l.w.Due(), "the tap is not up")
	l.see(fact.Observation{At: 20 * ms, Kind: fact.TapUp})
	assert.Equal(t, 2020*ms, l.w.Due())
	l.w.Expire(2020*ms, &l.view, l.emit)
	assert.Equal(t, 20*ms, l.events[0].From)
	l.frame(5*fact.Second, fact.Pace{})
	assert.Equal(t, fact.LockedData{}, l.events[1].Data, "no silence before the first frame")
	l.frame(5*fact.Second+7*ms, fact.Pace{})
	assert.Len(t, l.events, 2)
}

func TestNobodyListensToATapThatWent(t *testing.T) {
	for _, kind := range []fact.Kind{fact.TapDown, fact.Resume, fact.End, fact.RecordingGap} {
		l := newLine(t)
		l.frame(fact.Second, fact.Pace{})
		l.see(fact.Observation{At: fact.Second, Kind: kind})
		assert.Equal(t, fact.Never, l.w.Due(), kind)
		l.frame(9*fact.Second, fact.Pace{})
		assert.Equal(t, fact.LockedData{SilentNS: 8 * fact.Second}, l.events[1].Data)
	}
	l := newLine(t)
	l.frame(fact.Second, fact.Pace{})
	l.see(fact.Observation{At: fact.Second, Tap: 2, Kind: fact.TapDown})
	assert.NotEqual(t, fact.Never, l.w.Due(), "another tap")
}

// A mode that was asked for before a silence is old.
func TestWhatWasAskedBeforeASilenceIsOld(t *testing.T) {
	for name, stop := range map[string]func(*line){
		"silence":         func(l *line) { l.w.Expire(l.w.Due(), &l.view, l.emit) },
		"tap that went":   func(l *line) { l.see(fact.Observation{Kind: fact.TapDown}) },
		"tap that is new": func(l *line) { l.see(fact.Observation{Kind: fact.TapUp}) },
	} {
		l := newLine(t)
		tap := &l.view.Taps[1]
		l.frame(fact.Second, fact.Pace{})
		tap.Asked = true
		l.frame(fact.Second+7*ms, fact.Pace{})
		assert.True(t, tap.Asked && tap.Locked, name)
		stop(l)
		assert.False(t, tap.Asked || tap.Locked, name)
	}
}

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

// A frame that came, damaged, never lacks: where an adapter hands over in clumps, that
// one was lacking shows some frames later.
func TestWhatIsAGap(t *testing.T) {
	for _, c := range []struct {
		name    string
		clump   unit.Duration
		refused map[int]int64 // bytes before a frame, by its number
		missing map[int]int   // frames
		want    int64         // reported
	}{
		{"one is missing", 0, nil, map[int]int{30: 1}, 1},
		{"one is missing behind clumps", 15 * ms, nil, map[int]int{30: 1}, 1},
		{"a late read", 0, nil, map[int]int{30: 2, 33: -2}, 0},
		{"a hole that all but one came late of", 0, nil, map[int]int{30: 75, 33: -40, 34: -34}, 0},
		{"a hole that most came late of", 0, nil, map[int]int{30: 75, 33: -71}, 4},
		{"as many late as leaves one in doubt", 0, nil, map[int]int{30: 21, 33: -20}, 0},
		{"one fewer", 0, nil, map[int]int{30: 20, 33: -19}, 1},
		{"one is missing long after such a hole", 0, nil, map[int]int{10: 75, 12: -75, 40: 1}, 1},
		{"one is missing just before the tap goes", 0, nil, map[int]int{65: 1}, 1},
		{"one is damaged", 0, map[int]int64{30: 25}, map[int]int{30: 1}, 0},
		{"one has lost a byte", 0, map[int]int64{30: 24}, map[int]int{30: 1}, 0},
		{"half of one", 0, map[int]int64{30: 12}, map[int]int{30: 1}, 1},
		{"one is damaged, another missing", 0, map[int]int64{30: 25}, map[int]int{30: 2}, 1},
		{"damage that shows later", 15 * ms, map[int]int64{30: 25}, map[int]int{33: 1}, 0},
		{"two damaged that show one by one", 15 * ms, map[int]int64{30: 25, 32: 25}, map[int]int{33: 1, 35: 1}, 0},
		{"one damaged, then one missing", 15 * ms, map[int]int64{30: 25}, map[int]int{31: 1, 33: 1}, 1},
		{"the damage was long before", 15 * ms, map[int]int64{30: 25}, map[int]int{38: 1}, 1},
		{"no clumps: damage shows at once", ms, map[int]int64{30: 25}, map[int]int{31: 1}, 1},
		{"a frame's worth of bytes in pieces", 15 * ms, map[int]int64{30: 10, 31: 10, 32: 10}, map[int]int{32: 1}, 1},
		{"damage that never was missing", 15 * ms, map[int]int64{30: 25}, nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := sheet.Read("table", []byte(plain))
			require.NoError(t, err)
			view := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}})
			got := int64(0)
			emit := func(kind string, _ unit.Time, _ string, data any) {
				require.Equal(t, event.WireGap, kind)
				got += data.(event.FramesMissingData).Frames
			}
			var g link.Gap
			g.Tap = 1
			for i := range 70 {
				at := unit.Time(unit.Duration(i) * period)
				if n := c.refused[i]; n > 0 {
					g.See(&event.Observation{At: at, Wire: at, Tap: 1, Kind: event.BytesRefused, Refused: bus.Refused{bus.NoHeader: n}}, &view, emit)
				}
				pace := event.Pace{Known: true, Period: period, Clump: c.clump, Missing: c.missing[i]}
				g.See(&event.Observation{At: at, Wire: at, Tap: 1, Kind: event.FrameSeen, Frame: &bus.Frame{}, Pace: pace}, &view, emit)
			}
			g.See(&event.Observation{At: unit.Time(unit.Second), Tap: 1, Kind: event.InputTapDown}, &view, emit)
			assert.Equal(t, c.want, got)
		})
	}
}

// It begins with the frame before the first that is missing and ends with the one behind
// the last; another tap's frames are no part of it.
func TestWhereAGapLies(t *testing.T) {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	view := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "second", Kind: "bus"}})
	var g link.Gap
	g.Tap = 1
	seen := 0
	emit := func(_ string, from unit.Time, _ string, data any) {
		seen++
		assert.Equal(t, unit.Time(29*period), from)
		assert.Equal(t, event.FramesMissingData{Frames: 2, SpanNS: 4 * period}, data)
	}
	missing := map[int]int{30: 1, 33: 1}
	for i := range 70 {
		at := unit.Time(unit.Duration(i) * period)
		for tap := range uint8(2) {
			pace := event.Pace{Known: true, Period: period, Missing: missing[i] * (1 + 8*int(tap))}
			g.See(&event.Observation{At: at, Wire: at.Add(unit.Duration(tap)), Tap: 1 + tap, Kind: event.FrameSeen, Frame: &bus.Frame{}, Pace: pace}, &view, emit)
		}
	}
	assert.Equal(t, 1, seen)
}

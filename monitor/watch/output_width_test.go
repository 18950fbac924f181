package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

const narrow = `sheet: 1
model: Narrow
scale: {counts: [0, 2047], us: [400, 2500]}
channels:
  1: {name: aileron, kind: stick, ends: {left: 520, right: 1000}, neutral: 760}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: wide, kind: stick, ends: {back: 2400, forward: 988}, neutral: 1500}
outputs:
  1: {surface: left, moved_by: {aileron: 1.0}}
  2: {surface: tail, moved_by: {elevator: 1.0}}
  3: {surface: other, moved_by: {wide: 1.0}}
`

// widths are the events of a kind about an output that sends these, after as many of
// 1500 µs, and 1500 µs behind.
func widths(t *testing.T, text string, output int, sent ...unit.Width) (odd []event.Event) {
	events := heardOf(t, text, func() base.Watcher { return &leads.OutputWidth{Tap: 2} }, func(q *quiet) {
		next := 0
		q.out[output] = func(unit.Time) unit.Width {
			if next++; next > 20 && next <= 20+len(sent) {
				return sent[next-21]
			}
			return 1_500_000
		}
		q.run(unit.Duration(len(sent)+30) * 20 * ms)
	})
	for _, e := range events {
		if e.Kind == event.OutputOdd {
			odd = append(odd, e)
		}
	}
	return odd
}

func many(n int, width unit.Width) (list []unit.Width) {
	for range n {
		list = append(list, width)
	}
	return list
}

// strewn are single pulses of a width, every n.
func strewn(n, every int, width unit.Width) (list []unit.Width) {
	for range n {
		list = append(append(list, many(every-1, 1_500_000)...), width)
	}
	return list
}

func TestWidthOdd(t *testing.T) {
	for _, x := range []struct {
		name string
		text string
		out  int
		sent []unit.Width
		odd  bool
	}{
		{"three too broad", plain, 1, many(3, 2_300_500), true},
		{"three too narrow", plain, 1, many(3, 699_500), true},
		{"two may be a glitch", plain, 1, many(2, 2_400_000), false},
		{"a good one in between", plain, 1, []unit.Width{2_400_000, 2_400_000, 1_500_000, 2_400_000, 2_400_000}, false},
		{"ten apart from each other", plain, 1, strewn(10, 16, 420_000), true},
		{"nine", plain, 1, strewn(9, 16, 420_000), false},
		{"one a second or two", plain, 1, strewn(20, 80, 2_800_000), false},
		{"at the upper bound", plain, 1, many(4, 2_300_000), false},
		{"at the lower bound", plain, 1, many(4, 700_000), false},
		{"too broad and too narrow in turn", plain, 1, []unit.Width{100_000, 2_400_000, 100_000}, true},
		{"narrow pulses that the sheet asks for", narrow, 1, many(9, 420_000), false},
		{"narrower than those", narrow, 1, many(9, 419_500), true},
		{"narrow ones of another output", narrow, 2, many(9, 600_000), true},
		{"broad ones that the sheet asks for", narrow, 3, many(9, 2_500_000), false},
		{"broader", narrow, 3, many(9, 2_500_500), true},
	} {
		t.Run(x.name, func(t *testing.T) {
			odd := widths(t, x.text, x.out, x.sent...)
			assert.Equal(t, x.odd, len(odd) > 0, kinds(odd))
		})
	}
	e := one(t, widths(t, plain, 4, 2_400_000, 2_410_000, 600_000, 650_000))
	assert.Equal(t, "output:4", e.About)
	assert.Equal(t, event.OutputOddData{Pulses: 4, LeastNS: 600_000, MostNS: 2_410_000, SpanNS: 3*20*ms + 650_000 - 2_400_000}, e.Data)
	assert.Equal(t, unit.Time(400*ms+2_400_000), e.From)
}

// A run that goes on is reported after a second, then in pieces of ten.
func TestWidthOddForLong(t *testing.T) {
	odd := widths(t, plain, 1, many(600, 2_400_000)...)
	require.Len(t, odd, 3)
	for i, want := range []int64{51, 501, 48} {
		assert.Equal(t, want, odd[i].Data.(event.OutputOddData).Pulses)
	}
}

// What ends with the pulses, or with listening, is reported too.
func TestWidthOddThatNothingEnds(t *testing.T) {
	for name, end := range map[string]func(*quiet){
		"silence":   func(q *quiet) { q.run(2500 * ms) },
		"unplugged": (*quiet).down,
	} {
		events := heardOf(t, plain, func() base.Watcher { return &leads.OutputWidth{Tap: 2} }, func(q *quiet) {
			for range 4 {
				q.pulse(1, q.at, 400_000)
				q.run(20 * ms)
			}
			end(q)
		})
		assert.Equal(t, int64(4), one(t, events).Data.(event.OutputOddData).Pulses, name)
	}
}

func TestWidthPeriods(t *testing.T) {
	paced := func(play func(*quiet)) []event.Event {
		return heardOf(t, plain, func() base.Watcher { return &leads.OutputWidth{Tap: 2} }, func(q *quiet) {
			q.out[1], q.period[1] = steady(1_500_000), 20*ms
			play(q)
		})
	}
	events := paced(func(q *quiet) {
		q.run(32 * 20 * ms)
	})
	assert.Empty(t, events, "31 periods")
	events = paced(func(q *quiet) {
		q.run(2 * unit.Second)
		q.period[1] = 20_990_000
		q.run(2 * unit.Second)
	})
	e := one(t, events)
	assert.Equal(t, event.OutputPaced, e.Kind)
	assert.Equal(t, event.PeriodData{PeriodNS: 20 * ms}, e.Data, "and a twentieth more is no change")
	events = paced(func(q *quiet) {
		q.run(2 * unit.Second)
		for range 2 {
			q.period[1] = 21_013_000
			q.run(30*21*ms + 5*ms)
			q.period[1] = 20 * ms
			q.run(unit.Second)
		}
	})
	assert.Len(t, events, 1, "31 are no change, nor twice 31")
	events = paced(func(q *quiet) {
		q.run(2 * unit.Second)
		q.period[1] = 10_003_000
		q.run(unit.Second)
	})
	require.Len(t, events, 2)
	assert.Equal(t, event.PeriodData{PeriodNS: 10 * ms, WasNS: 20 * ms}, events[1].Data)
	events = paced(func(q *quiet) {
		for range 20 {
			q.run(10 * 20 * ms)
			q.lost(event.BoardLostData{Lines: 1})
		}
	})
	assert.Len(t, events, 1, "where lines are lost periods are not known; the others count")
}

// Longer and shorter ones in turn are no other period.
func TestWidthPeriodsInTurn(t *testing.T) {
	events := heardOf(t, plain, func() base.Watcher { return &leads.OutputWidth{Tap: 2} }, func(q *quiet) {
		at := unit.Time(0)
		for i := range 200 {
			at = at.Add(20 * ms)
			if i > 50 {
				at = at.Add([]unit.Duration{-2 * ms, 2 * ms}[i%2])
			}
			q.pulse(1, at, 1_500_000)
		}
	})
	assert.Len(t, events, 1)
}

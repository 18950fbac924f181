package pulse_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/pulse"
)

// part is a level that lasts; h, l and x make high, low and unknown ones of µs.
type part struct {
	level edge.Level
	ns    int64
}

func h(us float64) part { return part{edge.High, int64(us * 1000)} }
func l(us float64) part { return part{edge.Low, int64(us * 1000)} }
func x(us float64) part { return part{edge.Unknown, int64(us * 1000)} }

func edges(parts ...part) (line []edge.Edge, end int64) {
	for _, p := range parts {
		line = append(line, edge.Edge{Tick: end, Level: p.level})
		end += p.ns
	}
	return line, end
}

// measured feeds a line and flushes.
func measured(line []edge.Edge) ([]pulse.Pulse, pulse.MeterAccount) {
	m := pulse.NewMeter(3, edge.Nanosecond, pulse.CommonLimits())
	var got []pulse.Pulse
	see := func(p *pulse.Pulse) { got = append(got, *p) }
	for _, e := range line {
		m.Edge(e, see)
	}
	m.Flush(see)
	return got, m.Account()
}

// wp is a width and a period, µs.
type wp struct{ w, p float64 }

func inMicros(got []pulse.Pulse) (all []wp) {
	for _, p := range got {
		all = append(all, wp{float64(p.Width) / 1000, float64(p.Period) / 1000})
	}
	return all
}

var meterCases = []struct {
	name   string
	line   []part
	want   []wp
	faults map[pulse.EdgeFault]int64
}{
	{"three pulses", []part{l(50), h(1500), l(18500), h(1600), l(18400), h(1000), l(500)}, []wp{{1500, 0}, {1600, 20000}, {1000, 20000}}, nil},
	{"the last one fell as the capture ended", []part{l(50), h(1500)}, nil, map[pulse.EdgeFault]int64{pulse.Unfinished: 1}},
	{"the capture begins in a pulse", []part{h(700), l(18000), h(1500), l(500)}, []wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Unfinished: 1}},
	{"nothing but low", []part{l(50)}, nil, nil},
	{"nothing but high", []part{h(50)}, nil, map[pulse.EdgeFault]int64{pulse.Unfinished: 1}},
	{"nothing but unknown", []part{x(50)}, nil, nil},

	{"narrowest", []part{l(50), h(300), l(500)}, []wp{{300, 0}}, nil},
	{"too narrow", []part{l(50), h(299.999), l(500)}, nil, map[pulse.EdgeFault]int64{pulse.Narrow: 1}},
	{"widest", []part{l(50), h(3000), l(500)}, []wp{{3000, 0}}, nil},
	{"too wide", []part{l(50), h(3000.001), l(500)}, nil, map[pulse.EdgeFault]int64{pulse.Wide: 1}},
	{"two merged at 333 Hz", []part{l(50), h(1500), l(1500), h(4500), l(1500), h(1500), l(1500), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 0}, {1500, 3000}}, map[pulse.EdgeFault]int64{pulse.Wide: 1}},
	{"longest period", []part{l(50), h(1500), l(98500), h(1500), l(500)}, []wp{{1500, 0}, {1500, 100000}}, nil},
	{"a gap", []part{l(50), h(1500), l(98500.001), h(1500), l(500)}, []wp{{1500, 0}, {1500, 0}}, nil},

	{"a glitch in a pulse", []part{l(50), h(700), l(0.999), h(800), l(18500), h(1500), l(500)},
		[]wp{{1500.999, 0}, {1500, 20000.999}}, map[pulse.EdgeFault]int64{pulse.Glitch: 1}},
	{"a glitch in the gap", []part{l(50), h(1500), l(9000), h(0.5), l(9000), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 19500.5}}, map[pulse.EdgeFault]int64{pulse.Glitch: 1}},
	{"a glitch at the capture's end", []part{l(50), h(1500), l(9000), h(0.5), l(0.4), h(0.4), l(3)}, []wp{{1500, 0}},
		map[pulse.EdgeFault]int64{pulse.Glitch: 3, pulse.Chatter: 1}},
	{"an edge that bounces", []part{l(50), h(0.3), l(0.3), h(1500), l(0.2), h(0.2), l(18000)},
		[]wp{{1500.4, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 4}},
	{"an edge that bounces too long", []part{l(50), h(0.5), l(0.5), h(1500), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 2, pulse.Chatter: 1}},
	{"a falling edge that bounces too long", []part{l(50), h(1500), l(0.5), h(0.5), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 2, pulse.Chatter: 1}},
	{"chatter in a pulse", []part{l(50), h(700), l(0.5), h(0.5), l(0.5), h(700), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 3, pulse.Chatter: 1}},
	{"chatter in the gap", []part{l(50), h(1500), l(9000), h(0.9), l(0.9), h(0.9), l(9000), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 3, pulse.Chatter: 1}},

	{"a hole in a pulse", []part{l(50), h(700), l(99.999), h(800), l(18500), h(1500), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 20000}}, map[pulse.EdgeFault]int64{pulse.SplitPulse: 1}},
	{"two holes in a pulse", []part{l(50), h(400), l(1), h(400), l(1), h(400), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.SplitPulse: 1}},
	{"a hole right behind the rise", []part{l(50), h(5), l(20), h(1475), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.SplitPulse: 1}},
	{"the shortest pause", []part{l(50), h(700), l(100), h(800), l(500)}, []wp{{700, 0}, {800, 800}}, nil},
	{"a spike in the gap", []part{l(50), h(1500), l(9000), h(1), l(9499), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 0}}, map[pulse.EdgeFault]int64{pulse.Narrow: 1}},

	{"unknown in a pulse", []part{l(50), h(700), x(5), h(800), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.UnknownLevel: 1}},
	{"unknown at the end of a pulse", []part{l(50), h(1500), x(5), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.UnknownLevel: 1}},
	{"unknown in the gap", []part{l(50), h(1500), l(5000), x(5000), l(5000), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 0}}, map[pulse.EdgeFault]int64{pulse.UnknownLevel: 1}},
	{"unknown soon after a pulse", []part{l(50), h(1500), l(50), x(5000), l(5000), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.UnknownLevel: 1}},
	{"unknown for a moment", []part{l(50), x(0.2), h(1500), l(500)}, []wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 1}},

	{"a fall is missing", []part{l(50), h(1500), h(1500), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.MissingEdge: 1}},
	{"a fall is missing right behind the rise", []part{l(50), h(0.5), h(1500), l(18500), h(1500), l(500)},
		[]wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 1, pulse.MissingEdge: 1}},
	{"a rise is missing", []part{l(50), h(1500), l(5000), l(13500), h(1500), l(500)},
		[]wp{{1500, 0}, {1500, 0}}, map[pulse.EdgeFault]int64{pulse.MissingEdge: 1}},
	{"edges of one moment", []part{l(50), h(0), l(0), h(1500), l(0), h(0), l(500)}, []wp{{1500, 0}}, map[pulse.EdgeFault]int64{pulse.Glitch: 4}},
}

func TestMeter(t *testing.T) {
	for _, c := range meterCases {
		t.Run(c.name, func(t *testing.T) {
			line, _ := edges(c.line...)
			got, sum := measured(line)
			assert.Equal(t, c.want, inMicros(got))
			want := pulse.MeterAccount{Edges: int64(len(line)), Pulses: int64(len(c.want))}
			for f, n := range c.faults {
				want.Faults[f] = n
			}
			assert.Equal(t, want, sum)
		})
	}
}

// Whatever Pass is given that is true, and wherever a checkpoint is taken, the
// pulses are the same ones.
func TestMeterIsAsked(t *testing.T) {
	for _, c := range meterCases {
		t.Run(c.name, func(t *testing.T) {
			line, end := edges(c.line...)
			want, sum := measured(line)
			var got []pulse.Pulse
			see := func(p *pulse.Pulse) { got = append(got, *p) }
			m := pulse.NewMeter(3, edge.Nanosecond, pulse.CommonLimits())
			for i, e := range line {
				m.Edge(e, see)
				next := end
				if i+1 < len(line) {
					next = line[i+1].Tick
				}
				for _, at := range []int64{1, 300, 2000, 60_000, 300_000, next - e.Tick} {
					m.Pass(min(e.Tick+at, next), see)
				}
				kept, err := json.Marshal(m)
				require.NoError(t, err)
				m = new(pulse.Meter)
				require.NoError(t, json.Unmarshal(kept, m))
			}
			m.Flush(see)
			assert.Equal(t, want, got)
			assert.Equal(t, sum, m.Account())
		})
	}
}

func TestMeterGivesSoon(t *testing.T) {
	m := pulse.NewMeter(1, edge.Nanosecond, pulse.CommonLimits())
	n := 0
	see := func(*pulse.Pulse) { n++ }
	m.Pass(5, see)
	line, _ := edges(l(50), h(1500), l(1))
	for _, e := range line {
		m.Edge(e, see)
	}
	m.Pass(1_550_000+99_999, see)
	assert.Zero(t, n)
	m.Pass(1_550_000+100_000, see)
	assert.Equal(t, 1, n)
	m.Flush(see)
	assert.Equal(t, 1, n)
	m.Flush(see)
	assert.Equal(t, 1, n)
}

func TestMeterClockBeginsAnew(t *testing.T) {
	a, _ := edges(l(50), h(1500), l(18500), h(1500), l(18500), h(300))
	got, sum := measured(append(a, a...))
	require.Len(t, got, 4)
	assert.Equal(t, []int{0, 0, 1, 1}, []int{got[0].Epoch, got[1].Epoch, got[2].Epoch, got[3].Epoch})
	assert.Equal(t, []wp{{1500, 0}, {1500, 20000}, {1500, 0}, {1500, 20000}}, inMicros(got))
	assert.Equal(t, int64(1), sum.Faults[pulse.Backward])
	assert.Equal(t, int64(2), sum.Faults[pulse.Unfinished])
}

// Ticks of a third of a nanosecond: rise and width add up to the falling edge,
// rounded down.
func TestMeterRounds(t *testing.T) {
	m := pulse.NewMeter(1, edge.Rate{Num: 1, Den: 3}, pulse.CommonLimits())
	var got pulse.Pulse
	see := func(p *pulse.Pulse) { got = *p }
	for _, e := range []edge.Edge{{Tick: 0, Level: edge.Low}, {Tick: 150_000_002, Level: edge.High}, {Tick: 154_500_001, Level: edge.Low}} {
		m.Edge(e, see)
	}
	m.Flush(see)
	assert.Equal(t, pulse.Pulse{Output: 1, Rise: 50_000_000, Width: 1_500_000}, got)
}

// Wherever a hole or a spike stands in a line, a width that is given is within a
// glitch of one that was sent.
func TestMeterDisturbed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []part
		var sent []int64
		parts = append(parts, l(50))
		for range rapid.IntRange(1, 12).Draw(t, "pulses") {
			width := rapid.Int64Range(700_000, 2_300_000).Draw(t, "width")
			sent = append(sent, width)
			parts = append(parts, part{edge.High, width}, l(10_000))
			if rapid.Bool().Draw(t, "disturbed") {
				at := rapid.IntRange(0, 1).Draw(t, "in")
				p := &parts[len(parts)-2+at]
				spike := rapid.Int64Range(1, 99_999).Draw(t, "spike")
				before := rapid.Int64Range(1000, p.ns-spike-1000).Draw(t, "before")
				spiked := []part{{p.level, before}, {p.level.Not(), spike}, {p.level, p.ns - before - spike}}
				i := len(parts) - 2 + at
				parts = append(parts[:i:i], append(spiked, parts[i+1:]...)...)
			}
		}
		line, _ := edges(parts...)
		got, _ := measured(line)
		for _, p := range got {
			near := false
			for _, w := range sent {
				d := p.Width - w
				near = near || d > -1000 && d < 1000
			}
			require.True(t, near, "%d for %v", p.Width, parts)
		}
	})
}

func TestMeterAllocatesNothing(t *testing.T) {
	m := pulse.NewMeter(1, edge.Nanosecond, pulse.CommonLimits())
	see := func(*pulse.Pulse) {}
	tick := int64(0)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		for i := range int64(50) {
			m.Edge(edge.Edge{Tick: tick, Level: edge.Level(i % 3)}, see)
			tick += 400 + i*50_000
			m.Pass(tick, see)
		}
		m.Flush(see)
	}))
}

func TestFaultWords(t *testing.T) {
	words := map[string]bool{}
	for f := range pulse.EdgeFault(pulse.Faults) {
		words[f.String()] = true
	}
	assert.Len(t, words, pulse.Faults)
	assert.Equal(t, "unknown fault", pulse.EdgeFault(pulse.Faults).String())
}

func FuzzMeter(f *testing.F) {
	f.Add([]byte{0, 50, 1, 200, 0, 250, 1, 200, 0, 3, 1, 2})
	f.Add([]byte{1, 255, 2, 9, 0, 0, 0, 0, 1, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		m := pulse.NewMeter(1, edge.Nanosecond, pulse.CommonLimits())
		n := int64(0)
		see := func(p *pulse.Pulse) {
			n++
			require.True(t, p.Width >= 300_000 && p.Width <= 3_000_000 && p.Period >= 0 && p.Period <= 100_000_000)
		}
		tick := int64(0)
		for i := 0; i+1 < len(data); i += 2 {
			span := int64(data[i+1])
			tick += span * span * span
			if data[i]&0x80 != 0 {
				m.Pass(tick, see)
			}
			m.Edge(edge.Edge{Tick: tick - int64(data[i]&0x40), Level: edge.Level(data[i] % 3)}, see)
		}
		m.Flush(see)
		require.Equal(t, m.Account().Pulses, n)
	})
}

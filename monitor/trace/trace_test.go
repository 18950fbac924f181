package trace_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

const ms = unit.Millisecond

// rig is a fold into a memory, of a bus and of servo leads.
type rig struct {
	*trace.Fold
	memory *trace.Memory
	frame  bus.Frame
}

func newRig(t testing.TB, text []byte) *rig {
	s, err := sheet.Read("traced", text)
	require.NoError(t, err)
	r := &rig{memory: trace.NewMemory()}
	r.Fold = trace.NewFold(s, r.memory)
	for i := range r.frame.Counts {
		r.frame.Counts[i] = 992
	}
	r.begin(event.InputBegin, 0)
	return r
}

func (r *rig) begin(kind event.InputKind, at unit.Time) {
	r.See(&event.Observation{Kind: kind, At: at, Data: []byte(`{"taps":[{"name":"main","kind":"bus"},{"name":"leads","kind":"pulses"}]}`)})
}

// bus is a frame in which channel 1 has a count.
func (r *rig) bus(at unit.Duration, count uint32) {
	r.frame.Counts[0] = count
	r.See(&event.Observation{Kind: event.FrameSeen, Tap: 1, Wire: unit.Time(at), Frame: &r.frame})
}

func (r *rig) lead(at unit.Duration, output int, width unit.Width) {
	r.See(&event.Observation{Kind: event.PulseSeen, Tap: 2, Wire: unit.Time(at), Pulse: &event.Pulse{Output: output, Width: width}})
}

func (r *rig) beat(at unit.Duration) {
	r.See(&event.Observation{Kind: event.InputBeat, At: unit.Time(at)})
}

// shown is an answer as clients get it.
type shown struct {
	Step int64 `json:"step_ns"`
	Taps []struct {
		Tap, Kind    string
		First, Until int64
		Columns      [][]int64
	}
}

func (r *rig) span(t require.TestingT, from, to unit.Duration, columns int) (got shown) {
	s := trace.Span{From: unit.Time(from), To: unit.Time(to), Columns: columns}
	require.NoError(t, s.Check())
	a := s.Answer()
	first, behind := a.Bounds()
	r.memory.Each(first, behind, a)
	return read(t, a)
}

func read(t require.TestingT, a *trace.Answer) (got shown) {
	b, err := json.Marshal(a)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, &got), string(b))
	return got
}

func TestColumns(t *testing.T) {
	r := newRig(t, sheet.Starter())
	r.bus(7*ms, 992)
	r.bus(14*ms, 172)
	r.frame.Bad = true
	r.bus(21*ms, 2047) // damaged: it says nothing
	r.frame.Bad = false
	r.bus(50*ms, 1811)
	r.bus(260*ms, 992) // 100 to 250 ms is a gap
	r.bus(301*ms, 992)
	r.lead(10*ms, 2, 1_499_600)
	r.lead(20*ms, 4, 2_000_000)
	r.lead(30*ms, 2, 1_600_000)
	r.lead(60*ms, 2, 900_000)
	r.lead(120*ms, 2, 40_000_000)
	r.beat(2000 * ms)
	got := r.span(t, 0, 2000*ms, 40)
	assert.EqualValues(t, 50_000_000, got.Step)
	require.Len(t, got.Taps, 2)
	one := [][]int64{}
	for _, c := range got.Taps[0].Columns {
		one = append(one, c[:3])
		assert.Len(t, c, 33, "digital channels that the sheet does not have are left out")
	}
	width := func(count int64) int64 {
		s, _ := sheet.Read("s", sheet.Starter())
		return int64(s.Width(uint32(count))+500) / 1000
	}
	assert.Equal(t, [][]int64{{0, width(172), width(992)}, {1, width(1811), width(1811)}, {5, width(992), width(992)}, {6, width(992), width(992)}}, one)
	assert.Equal(t, "leads pulses 0 20", fmt.Sprint(got.Taps[1].Tap, " ", got.Taps[1].Kind, " ", got.Taps[1].First, " ", got.Taps[1].Until))
	assert.Equal(t, [][]int64{{0, -1, -1, 1500, 1600, -1, -1, 2000, 2000}, {1, -1, -1, 900, 900}, {2, -1, -1, 32767, 32767}}, got.Taps[1].Columns)
}

// Frames that repeat the one before are not looked at again, and are in their columns all the same;
// what a damaged one had is not taken from it.
func TestFramesThatRepeat(t *testing.T) {
	r := newRig(t, sheet.Starter())
	again := func(at unit.Duration, bad bool) {
		r.frame.Bad = bad
		r.See(&event.Observation{Kind: event.FrameSeen, Tap: 1, Wire: unit.Time(at), Frame: &r.frame, Repeats: true})
	}
	r.bus(5*ms, 992)
	for at := 10 * ms; at < 200*ms; at += 10 * ms {
		again(at, false)
	}
	r.frame.Bad = true
	r.bus(200*ms, 172)
	again(210*ms, true)
	again(220*ms, false)
	r.bus(260*ms, 992)
	s, err := sheet.Read("s", sheet.Starter())
	require.NoError(t, err)
	rests, low := int64(s.Width(992)+500)/1000, int64(s.Width(172)+500)/1000
	var one [][]int64
	for _, c := range r.span(t, 0, 250*ms, 5).Taps[0].Columns {
		one = append(one, c[:3])
	}
	assert.Equal(t, [][]int64{{0, rests, rests}, {1, rests, rests}, {2, rests, rests}, {3, rests, rests}, {4, low, low}}, one)
}

// given are the numbers of the columns that a sink is given.
type given []int64

func (*given) Begin([]event.TapName, int64) {}

func (g *given) Take(_ int, c *trace.Column, _ int64) {
	if c != nil {
		*g = append(*g, c.Number)
	}
}

// A column that comes again with more in it takes the place of what was there.
func TestAColumnIsKeptOnce(t *testing.T) {
	r := newRig(t, sheet.Starter())
	r.bus(5*ms, 992)
	r.bus(55*ms, 992)
	r.beat(2000 * ms)
	r.bus(60*ms, 172)
	r.beat(3000 * ms)
	var g given
	r.memory.Each(0, 40, &g)
	assert.Equal(t, given{0, 1}, g)
	assert.Less(t, r.span(t, 0, 100*ms, 2).Taps[0].Columns[1][1], r.span(t, 0, 100*ms, 2).Taps[0].Columns[0][1])
}

func TestDigitalChannels(t *testing.T) {
	r := newRig(t, sheet.ForListening([]sheet.Tap{{Name: "main", Kind: "bus"}}))
	r.frame.Flags = bus.Digital(1)
	r.bus(7*ms, 992)
	r.bus(57*ms, 992)
	columns := r.span(t, 0, 50*ms, 1).Taps[0].Columns
	require.Len(t, columns, 1)
	assert.Equal(t, []int64{0, 0, 1, 1}, columns[0][33:], "17 is off and 18 is on: neither has a width")
}

// What is still under way is not given, neither as itself nor in a longer column.
func TestWhatMayChangeIsNotGiven(t *testing.T) {
	r := newRig(t, sheet.Starter())
	for at := 5 * ms; at < 430*ms; at += 10 * ms {
		r.bus(at, 992)
	}
	for columns, want := range map[int]string{100: "0 8 8", 4: "0 4 4", 2: "0 2 2", 1: "none"} {
		got := r.span(t, 0, 400*ms+unit.Duration(columns%2), columns)
		text := "none"
		if len(got.Taps) > 0 && got.Taps[0].Until > 0 {
			text = fmt.Sprint(got.Taps[0].First, " ", got.Taps[0].Until, " ", len(got.Taps[0].Columns))
		}
		assert.Equal(t, want, text, columns)
	}
	_, some := r.memory.News()
	assert.True(t, some)
	_, some = r.memory.News()
	assert.False(t, some)
	r.bus(455*ms, 992)
	a, some := r.memory.News()
	require.True(t, some)
	got := read(t, a)
	require.Len(t, got.Taps, 1)
	assert.EqualValues(t, []int64{8, 9, 1}, []int64{got.Taps[0].First, got.Taps[0].Until, int64(len(got.Taps[0].Columns))})
	// A tap that falls silent is complete a second later; what comes later still is told again.
	r.beat(1400 * ms)
	a, some = r.memory.News()
	require.True(t, some)
	got = read(t, a)
	require.Len(t, got.Taps, 1)
	assert.Equal(t, "leads", got.Taps[0].Tap)
	r.beat(2400 * ms)
	a, some = r.memory.News()
	require.True(t, some)
	assert.EqualValues(t, 28, read(t, a).Taps[0].Until)
	r.bus(460*ms, 172)
	r.beat(3400 * ms)
	a, _ = r.memory.News()
	got = read(t, a)
	require.Len(t, got.Taps[0].Columns, 1)
	assert.EqualValues(t, 9, got.Taps[0].Columns[0][0])
	assert.NotEqual(t, got.Taps[0].Columns[0][1], got.Taps[0].Columns[0][2])
}

// Of the column in which a session goes on something may have been heard before.
func TestAMemoryBeginsBehindAResumption(t *testing.T) {
	r := newRig(t, sheet.Starter())
	r.begin(event.InputResume, unit.Time(1020*ms))
	r.bus(1030*ms, 992)
	r.bus(1055*ms, 992)
	r.bus(1105*ms, 992)
	assert.EqualValues(t, 21, r.memory.Knows())
	columns := r.span(t, 0, 1100*ms, 100).Taps[0].Columns
	require.Len(t, columns, 1)
	assert.EqualValues(t, 21, columns[0][0])
}

// A memory holds ten minutes of each tap, and no more than it says.
func TestTheBoundOfAMemory(t *testing.T) {
	r := newRig(t, sheet.Starter())
	for at := unit.Duration(0); at < 30*unit.Minute; at += 25 * ms {
		r.bus(at, 992)
		r.lead(at, 1+int(at/ms/25%8), 1_500_000)
	}
	now := 30 * unit.Minute
	got := r.span(t, now-10*unit.Minute, now, 2400)
	require.Len(t, got.Taps, 2)
	for _, tap := range got.Taps {
		assert.Len(t, tap.Columns, 2399, tap.Tap)
	}
	oldest := int64((now - 10*unit.Minute - 40*unit.Second) / trace.Step)
	assert.Greater(t, r.memory.Knows(), oldest)
	assert.Less(t, r.memory.Size(), 2<<20, "bytes, two taps")
}

// A column's ends are those of its parts, however they are joined: straight out of frames, or out
// of columns in any two stages.
func TestLongerColumnsAreThoseOfTheirParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := sheet.Read("traced", sheettest.TwoSwitches())
		require.NoError(t, err)
		memory := trace.NewMemory()
		fold := trace.NewFold(s, memory)
		r := &rig{Fold: fold, memory: memory}
		r.begin(event.InputBegin, 0)
		luck := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		at := unit.Duration(0)
		for range rapid.IntRange(1, 300).Draw(t, "frames") {
			at += unit.Duration(luck.Int64N(int64(30 * ms)))
			if luck.IntN(20) == 0 {
				at += unit.Duration(luck.Int64N(int64(unit.Second)))
			}
			if luck.IntN(2) == 0 {
				r.lead(at, 1+luck.IntN(6), unit.Width(luck.Int64N(2_500_000)))
				continue
			}
			r.frame.Bad = luck.IntN(10) == 0
			r.bus(at, uint32(luck.IntN(2048)))
		}
		r.beat(at + 5*unit.Second)
		fine := r.span(t, 0, at+unit.Second, trace.MostColumns)
		coarse := r.span(t, 0, at+unit.Second, rapid.IntRange(1, 200).Draw(t, "columns"))
		parts := coarse.Step / int64(trace.Step)
		require.Zero(t, coarse.Step%int64(trace.Step))
		for i := range fine.Taps {
			want := map[int64][]int64{}
			for _, c := range fine.Taps[i].Columns {
				want[c[0]/parts] = joined(want[c[0]/parts], c[1:])
			}
			require.Len(t, coarse.Taps[i].Columns, len(want))
			for _, c := range coarse.Taps[i].Columns {
				require.Equal(t, want[c[0]], c[1:], "column %d of %d parts", c[0], parts)
			}
		}
	})
}

// joined has the ends of two columns, as anybody would write it down.
func joined(a, b []int64) []int64 {
	for len(a) < len(b) {
		a = append(a, -1)
	}
	for i := 0; i < len(b); i += 2 {
		switch {
		case b[i] == -1:
		case a[i] == -1:
			a[i], a[i+1] = b[i], b[i+1]
		default:
			a[i], a[i+1] = min(a[i], b[i]), max(a[i+1], b[i+1])
		}
	}
	return a
}

func TestSpansThatCannotBe(t *testing.T) {
	hour := unit.Time(60 * unit.Minute)
	for want, s := range map[string]trace.Span{
		"from_ns -1":            {From: -1, To: 5, Columns: 1},
		"a later one":           {From: 5, To: 5, Columns: 1},
		"want 2 h at most":      {From: 0, To: 2*hour + 1, Columns: 1},
		"columns 0, want 1 to":  {From: 0, To: 5, Columns: 0},
		"columns 4801, want 1 ": {From: 0, To: 5, Columns: 4801},
	} {
		assert.ErrorContains(t, s.Check(), want)
	}
	a := trace.Span{From: 120_000_000, To: 999_000_000, Columns: 3}.Answer()
	from, to := a.Bounds()
	assert.Equal(t, []int64{0, 24}, []int64{from, to}, "columns of six parts")
}

// BenchmarkFold is a frame in which nothing moves, and one in which channels do; the column in
// which it falls is taken by a memory.
func BenchmarkFold(b *testing.B) {
	for _, moves := range []bool{false, true} {
		b.Run(map[bool]string{false: "rest", true: "moving"}[moves], func(b *testing.B) {
			r := newRig(b, sheet.Starter())
			o := event.Observation{Kind: event.FrameSeen, Tap: 1, Frame: &r.frame, Repeats: !moves}
			n := uint32(0)
			b.ReportAllocs()
			for b.Loop() {
				n++
				o.Wire = o.Wire.Add(7 * ms)
				if moves {
					r.frame.Counts[n%4] = 172 + n%1600
				}
				r.See(&o)
			}
		})
	}
}

// A memory is read while it takes more, and what was read stays as it was.
func TestAMemoryIsReadWhileItTakesMore(t *testing.T) {
	r := newRig(t, sheet.Starter())
	stop, read := make(chan struct{}), make(chan int, 3)
	for range 3 {
		go func() {
			longest := 0
			defer func() { read <- longest }()
			for {
				select {
				case <-stop:
					return
				default:
				}
				a := trace.Span{From: 0, To: unit.Time(unit.Minute), Columns: 1200}.Answer()
				r.memory.Each(0, 1200, a)
				_, _ = r.memory.News()
				text, err := a.MarshalJSON()
				if err != nil || len(text) < longest {
					panic("it has less than before")
				}
				longest = len(text)
			}
		}()
	}
	for at := unit.Duration(0); at < unit.Minute; at += 7 * ms {
		r.bus(at, uint32(172+at%1600))
		if at%unit.Second < 7*ms {
			r.beat(at + 3*unit.Second) // the column is given, and comes again with more in it
		}
	}
	close(stop)
	for range 3 {
		<-read
	}
	assert.Len(t, r.span(t, 0, unit.Minute-100*ms, 1198).Taps[0].Columns, 1198)
}

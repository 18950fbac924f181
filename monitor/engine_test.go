package monitor_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

func starter(t testing.TB) *sheet.Sheet {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	return s
}

// begin is the first input of a session with bus taps, and servo leads at one that
// is called so.
func begin(taps ...string) event.Input {
	s := event.Start{Build: "test", WallNS: 1_700_000_000_000_000_000}
	for _, n := range taps {
		kind := "bus"
		if n == "leads" {
			kind = "pulses"
		}
		s.Taps = append(s.Taps, event.TapName{Name: n, Kind: kind})
	}
	data, _ := json.Marshal(s)
	return event.Input{Kind: event.InputBegin, Data: data}
}

// lines collects a timeline.
type lines struct{ bytes.Buffer }

func (l *lines) hear(e *event.Event, wall int64) {
	line, err := timeline.Line(nil, e, wall)
	if err != nil {
		panic(err)
	}
	l.Write(line)
}

// anyInputs draws a session: two buses whose frames come late, in clumps,
// damaged and flagged, a capture board whose lines come so too, ports that come and
// go, marks, beats, restarts.
func anyInputs(t *rapid.T) []event.Input {
	list := []event.Input{begin("main", "second", "leads")}
	var board anyBoard
	at := unit.Time(0)
	var frames [3]bus.Frame
	for i := range frames {
		for c := range frames[i].Counts {
			frames[i].Counts[c] = 992
		}
	}
	for range rapid.IntRange(20, 400).Draw(t, "inputs") {
		at = at.Add(unit.Duration(rapid.SampledFrom([]int64{0, 0, 3000, 7_000_000, 7_000_000, 14_000_000, 150_000_000, 3_000_000_000}).Draw(t, "step")))
		in := event.Input{At: at, Tap: uint8(rapid.IntRange(1, 3).Draw(t, "tap")), Kind: event.InputBytes}
		switch rapid.IntRange(0, 24).Draw(t, "what") {
		case 0:
			in.Kind, in.Data = event.InputTapDown, []byte("gone")
		case 1:
			in.Kind, in.Data = event.InputTapUp, []byte(`{"port":"p"}`)
		case 2:
			in.Kind, in.Data = event.InputBadBytes, []byte{1, 2, 3}
		case 3:
			in = event.Input{At: at, Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(rapid.Int64Range(0, 1e15).Draw(t, "wall")))}
		case 4:
			in = event.Input{At: at, Kind: event.InputMark, Data: []byte("here")}
		case 5:
			in = begin("main", "second", "leads")
			in.At, in.Kind = at, event.InputResume
		case 6:
			in = event.Input{At: at, Kind: event.InputRecordingGap, Data: []byte(`{"ended":true,"why":"x"}`)}
		default:
			if in.Tap == 3 {
				in.Data = board.lines(t, at)
			} else {
				in.Data = anyFrames(t, &frames[in.Tap])
			}
		}
		list = append(list, in)
	}
	return append(list, event.Input{At: at.Add(unit.Second), Kind: event.InputEnd})
}

func anyFrames(t *rapid.T, f *bus.Frame) (out []byte) {
	for range rapid.IntRange(1, 12).Draw(t, "frames") {
		if rapid.IntRange(0, 9).Draw(t, "move") == 0 {
			f.Counts[rapid.SampledFrom([]int{0, 9, 10, 11}).Draw(t, "ch")] = rapid.SampledFrom([]uint32{172, 173, 992, 1400, 1811}).Draw(t, "count")
			f.Flags = rapid.SampledFrom([]bus.Flags{0, 0, 4, 12}).Draw(t, "flags")
		}
		var raw [servobus.FrameLen]byte
		servobus.Encode(f, raw[:])
		cut := rapid.SampledFrom([]int{25, 25, 25, 25, 24, 7}).Draw(t, "cut")
		out = append(out, raw[:cut]...)
	}
	return out
}

// anyBoard is a capture board that ticks every 500 ns.
type anyBoard struct {
	seq  uint16
	last unit.Time
}

// lines draws lines of pulses since the last ones, up to a moment, some of them
// lost, broken or after a restart, and at times one about the board.
func (b *anyBoard) lines(t *rapid.T, at unit.Time) (out []byte) {
	n := rapid.IntRange(1, 12).Draw(t, "lines")
	for i := range n {
		now := b.last.Add(at.Sub(b.last) * unit.Duration(i+1) / unit.Duration(n))
		ticks := uint32(int64(now)/500) + 4_290_000_000
		width := uint32(rapid.SampledFrom([]int{1976, 3000, 3001, 4024, 800, 6000}).Draw(t, "width"))
		line := fmt.Sprintf("PBPX,%X,%d,%X,%X", b.seq, rapid.IntRange(1, 4).Draw(t, "output"), ticks-width, width)
		b.seq++
		switch rapid.IntRange(0, 19).Draw(t, "fate") {
		case 0:
			continue
		case 1:
			line = line[:rapid.IntRange(0, len(line)-1).Draw(t, "cut")]
		case 2, 3, 4:
			line = fmt.Sprintf("PBPI,any-4,500,4,%d", rapid.IntRange(0, 2).Draw(t, "dropped"))
		case 5:
			b.seq = 0
		}
		var sum byte
		for _, c := range []byte(line) {
			sum ^= c
		}
		out = fmt.Appendf(out, "$%s*%02X\r\n", line, sum)
	}
	b.last = at
	if len(out) == 0 { // a read has at least a byte
		return []byte("\n")
	}
	return out
}

func judge(s *sheet.Sheet, list []event.Input) string {
	var out lines
	b := engine.New(s, out.hear)
	for i := range list {
		b.Step(&list[i])
	}
	return out.String()
}

// Whatever happens, one-byte pieces and a restart from a checkpoint anywhere give
// the same timeline, and its dates and numbers run on.
func TestPiecesAndCheckpointsMakeNoDifference(t *testing.T) {
	s := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		list := anyInputs(t)
		want := judge(s, list)
		var pieces []event.Input
		for _, in := range list {
			if in.Kind != event.InputBytes && in.Kind != event.InputBadBytes {
				pieces = append(pieces, in)
				continue
			}
			for i := range in.Data {
				pieces = append(pieces, event.Input{At: in.At, Tap: in.Tap, Kind: in.Kind, Data: in.Data[i : i+1]})
			}
		}
		require.Equal(t, want, judge(s, pieces))

		cut := rapid.IntRange(0, len(list)).Draw(t, "checkpoint")
		var out lines
		b := engine.New(s, out.hear)
		for i := range list {
			if i == cut {
				state, err := b.Checkpoint()
				require.NoError(t, err)
				b, err = engine.Restore(state, s, out.hear)
				require.NoError(t, err)
			}
			b.Step(&list[i])
		}
		require.Equal(t, want, out.String())
		requireOrder(t, want)
		require.NotContains(t, want, event.JudgementFailed)
	})
}

func requireOrder(t require.TestingT, text string) {
	seq, last := int64(0), int64(-1)
	for _, line := range bytes.Split(bytes.TrimSuffix([]byte(text), []byte("\n")), []byte("\n")) {
		e, err := timeline.Parse(line)
		require.NoError(t, err)
		require.Equal(t, seq+1, e.Seq)
		require.GreaterOrEqual(t, int64(e.At), last)
		require.LessOrEqual(t, e.From, e.At)
		seq, last = e.Seq, int64(e.At)
	}
}

func TestRestoreRefusesAnothersState(t *testing.T) {
	s := starter(t)
	in := begin("main")
	b := engine.New(s, (&lines{}).hear)
	b.Step(&in)
	state, err := b.Checkpoint()
	require.NoError(t, err)
	bare, err := sheet.Read("bare", []byte("sheet: 1\nmodel: Bare\nchannels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"))
	require.NoError(t, err)
	_, err = engine.Restore(state, bare, (&lines{}).hear)
	require.ErrorContains(t, err, "another sheet or another build")
	for _, bad := range []string{"", "{}", `{"taps":[{}],"view":{}}`} {
		_, err = engine.Restore(json.RawMessage(bad), s, (&lines{}).hear)
		require.ErrorContains(t, err, "checkpoint", bad)
	}
}

func TestAFaultOfOursIsDatedAndJudgementGoesOn(t *testing.T) {
	s := starter(t)
	var kinds []string
	faults := true
	b := engine.New(s, func(e *event.Event, _ int64) {
		if e.Kind == event.Mark && faults {
			faults = false
			panic("a fault")
		}
		kinds = append(kinds, fmt.Sprint(e.Seq, " ", e.Kind))
	})
	var raised []*engine.InternalFault
	b.OnFault = func(f *engine.InternalFault) { raised = append(raised, f) }
	for _, in := range []event.Input{
		begin("main"),
		{At: unit.Time(unit.Second), Kind: event.InputMark, Data: []byte("x")},
		{At: unit.Time(2 * unit.Second), Kind: event.InputMark, Data: []byte("y")},
	} {
		b.Step(&in)
	}
	assert.Equal(t, []string{"1 session.began", "3 judgement.failed", "4 mark"}, kinds)
	require.Len(t, raised, 1)
	text := raised[0].String()
	assert.Contains(t, text, "judgement failed at 1000000000 ns (event 3), at an input of kind mark: a fault\n")
	assert.Contains(t, text, "monitor/engine_test.go:", "the line that faulted")
	assert.Contains(t, text, "base.(*SessionEvents).See", "and how judgement came there")
}

// What looks on sees a silence with the next input, before it is an event.
func TestASilenceIsInTheStateBeforeItIsAnEvent(t *testing.T) {
	var printed lines
	b := engine.New(starter(t), printed.hear)
	first := begin("main")
	b.Step(&first)
	var raw [servobus.FrameLen]byte
	servobus.Encode(&bus.Frame{}, raw[:])
	step := func(at unit.Time, kind event.InputKind, data []byte) {
		b.Step(&event.Input{At: at, Tap: 1, Kind: kind, Data: data})
	}
	at := unit.Time(unit.Second)
	step(at, event.InputTapUp, []byte("{}"))
	for range 400 {
		at = at.Add(7 * unit.Millisecond)
		step(at, event.InputBytes, raw[:])
	}
	require.True(t, b.State().Taps[0].Locked)
	b.Step(&event.Input{At: at.Add(90 * unit.Millisecond), Kind: event.InputMark})
	require.True(t, b.State().Taps[0].Locked)
	b.Step(&event.Input{At: at.Add(unit.Second), Kind: event.InputMark})
	s := b.State()
	require.False(t, s.Taps[0].Locked)
	require.Empty(t, s.Taps[0].Channels, "old values never look live")
	require.NotContains(t, printed.String(), event.BusSilent)
	b.Step(&event.Input{At: at.Add(2 * unit.Second), Kind: event.InputMark})
	require.Contains(t, printed.String(), event.BusSilent)
}

// No frame may cost an allocation, from byte to watcher, good or damaged.
func TestNoAllocationFromByteToWatcher(t *testing.T) {
	s := starter(t)
	b := engine.New(s, func(*event.Event, int64) {})
	first := begin("main")
	b.Step(&first)
	in := new(event.Input)
	step := func(kind event.InputKind, data []byte) {
		*in = event.Input{At: in.At.Add(7 * unit.Millisecond), Tap: 1, Kind: kind, Data: data}
		b.Step(in)
	}
	var frame bus.Frame
	for c := range frame.Counts {
		frame.Counts[c] = 173
	}
	var raw [servobus.FrameLen]byte
	servobus.Encode(&frame, raw[:])
	for range 400 { // locked, period known, switches reported
		step(event.InputBytes, raw[:])
	}
	assert.Zero(t, testing.AllocsPerRun(1000, func() { step(event.InputBytes, raw[:]) }), "good frames")
	assert.Zero(t, testing.AllocsPerRun(50, func() { step(event.InputBadBytes, raw[:]) }), "bad frames")
	i := 0
	assert.Zero(t, testing.AllocsPerRun(50, func() { // a byte lost in each frame
		i++
		step(event.InputBytes, raw[:20+i%5])
	}), "damaged frames")
}

// Nor a pulse: from the lines of a capture board to the watchers of its outputs.
func TestNoAllocationFromLineToWatcher(t *testing.T) {
	s := starter(t)
	b := engine.New(s, func(*event.Event, int64) {})
	first := begin("main", "leads")
	b.Step(&first)
	const rounds = 3000
	lines := make([][]byte, rounds) // four outputs each 20 ms, and each second the board
	seq, tick := uint16(0), uint32(4_290_000_000)
	for i := range lines {
		if i%50 == 0 {
			lines[i] = pulse.AppendInfo(lines[i], &pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8})
		}
		for output := range 4 {
			lines[i] = pulse.AppendPulse(lines[i], seq, output+1, tick+uint32(output)*4000, 3000)
			seq++
		}
		tick += 40_000
	}
	var frame bus.Frame
	for c := range frame.Counts {
		frame.Counts[c] = 992
	}
	var raw [servobus.FrameLen]byte
	servobus.Encode(&frame, raw[:])
	in, n := new(event.Input), 0
	step := func() {
		at := in.At.Add(20 * unit.Millisecond)
		*in = event.Input{At: at, Tap: 1, Kind: event.InputBytes, Data: raw[:]}
		b.Step(in)
		*in = event.Input{At: at, Tap: 2, Kind: event.InputBytes, Data: lines[n]}
		b.Step(in)
		n++
	}
	for range 1500 { // heard, paced, at rest, jitter reported
		step()
	}
	assert.Zero(t, testing.AllocsPerRun(1000, step))
}

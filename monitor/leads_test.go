package monitor_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// leadBoard prints lines with ticks of 500 ns.
type leadBoard struct{ seq uint16 }

func (b *leadBoard) pulse(output int, rise, width uint32) string {
	b.seq++
	return string(pulse.AppendPulse(nil, b.seq-1, output, rise, width))
}

func boardInfo(dropped int64) string {
	return string(pulse.AppendInfo(nil, &pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8, Dropped: dropped}))
}

// leadInput is one input: its date in µs, and what it holds.
type leadInput struct {
	at   unit.Duration // as a count of microseconds
	kind event.InputKind
	text string
}

// inWords is an observation: date, estimated time (both µs), what it is.
func inWords(o *event.Observation) string {
	head := fmt.Sprintf("%d %d tap %d ", int64(o.At)/1000, int64(o.Wire)/1000, o.Tap)
	switch o.Kind {
	case event.PulseSeen:
		return head + fmt.Sprintf("pulse %d %d", o.Pulse.Output, o.Pulse.Width/1000)
	case event.BoardStatus:
		return head + fmt.Sprint("board ", o.Board)
	case event.LinesLost:
		return head + fmt.Sprintf("lost %d dropped %d restarts %d refused %v", o.Lost.Lines, o.Lost.Dropped, o.Lost.Restarts, o.Lost.Refused)
	}
	return head + fmt.Sprint(o.Kind, " ", string(o.Data))
}

// The first pulse of a clock falls at the date of its line; how long later the next
// ones fall is what the ticks of their falling edges say. 40 000 ticks are 20 ms.
func TestWhatLeadsTell(t *testing.T) {
	b := &leadBoard{}
	const bytes, bad, up, down, overrun = event.InputBytes, event.InputBadBytes, event.InputTapUp, event.InputTapDown, event.InputOverrun
	for _, c := range []struct {
		name string
		fed  []leadInput
		want []string
	}{
		{"board and pulses", []leadInput{
			{1_000_000, bytes, boardInfo(0) + b.pulse(2, 1000, 3000)},
			{1_020_900, bytes, b.pulse(2, 41_000, 3200)},
		}, []string{
			"1000000 1000000 tap 3 board {ref-8 500 8 0}", "1000000 1000000 tap 3 pulse 2 1500",
			"1020900 1020100 tap 3 pulse 2 1600",
		}},
		{"what was lost comes first", []leadInput{
			{1_000_000, bytes, boardInfo(0) + b.pulse(1, 1000, 3000)},
			{1_050_000, bytes, b.pulse(1, 41_000, 3000) + "xyz" + b.lost(2).pulse(1, 81_000, 3000)},
			{1_070_000, bytes, "z" + b.lost(1).pulse(1, 121_000, 3000)},
		}, []string{
			"1000000 1000000 tap 3 board {ref-8 500 8 0}", "1000000 1000000 tap 3 pulse 1 1500",
			"1050000 1020000 tap 3 pulse 1 1500",
			"1050000 1050000 tap 3 lost 2 dropped 0 restarts 0 refused map[outside:3]",
			"1050000 1040000 tap 3 pulse 1 1500",
			"1070000 1070000 tap 3 lost 1 dropped 0 restarts 0 refused map[outside:1]",
			"1070000 1060000 tap 3 pulse 1 1500",
		}},
		{"dropped by the board, told before it tells so", []leadInput{
			{1_000_000, bytes, boardInfo(1)},
			{2_000_000, bytes, boardInfo(5)},
		}, []string{
			"1000000 1000000 tap 3 board {ref-8 500 8 1}",
			"2000000 2000000 tap 3 lost 0 dropped 4 restarts 0 refused map[]",
			"2000000 2000000 tap 3 board {ref-8 500 8 5}",
		}},
		{"restarts", []leadInput{
			{1_000_000, bytes, boardInfo(0) + boardInfo(0) + boardInfo(0) + b.pulse(1, 1_000_000_000, 3000)},
			{2_000_000, bytes, b.zero().pulse(1, 1000, 3000)},
			{2_020_500, bytes, b.pulse(1, 41_000, 3000)},
		}, []string{
			"1000000 1000000 tap 3 board {ref-8 500 8 0}", "1000000 1000000 tap 3 board {ref-8 500 8 0}",
			"1000000 1000000 tap 3 board {ref-8 500 8 0}", "1000000 1000000 tap 3 pulse 1 1500",
			"2000000 2000000 tap 3 lost 0 dropped 0 restarts 1 refused map[]",
			"2000000 2000000 tap 3 pulse 1 1500",
			"2020500 2020000 tap 3 pulse 1 1500",
		}},
		{"a bad character", []leadInput{
			{1_000_000, bytes, boardInfo(0) + "$PBP"},
			{1_000_100, bad, "X"},
			{1_000_200, bytes, ",\r\n"},
		}, []string{
			"1000000 1000000 tap 3 board {ref-8 500 8 0}",
			"1000200 1000200 tap 3 lost 0 dropped 0 restarts 0 refused map[spoilt:8]",
		}},
		{"a port that goes away", []leadInput{
			{500_000, up, "{}"},
			{1_000_000, bytes, boardInfo(0) + b.zero().pulse(1, 1000, 3000) + "$PBPX"},
			{1_500_000, down, "unplugged"},
			{3_000_000, up, "{}"},
			{3_100_000, bytes, boardInfo(0) + b.pulse(1, 5000, 3000)},
			{3_200_000, overrun, "12"},
		}, []string{
			"500000 500000 tap 3 tap-up {}",
			"1000000 1000000 tap 3 board {ref-8 500 8 0}", "1000000 1000000 tap 3 pulse 1 1500",
			"1500000 1500000 tap 3 lost 0 dropped 0 restarts 0 refused map[cut-off:5]",
			"1500000 1500000 tap 3 tap-down unplugged",
			"3000000 3000000 tap 3 tap-up {}",
			"3100000 3100000 tap 3 board {ref-8 500 8 0}", "3100000 3100000 tap 3 pulse 1 1500",
			"3200000 3200000 tap 3 overrun 12",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			see := func(o *event.Observation) { got = append(got, inWords(o)) }
			leads := new(engine.Leads)
			for _, f := range c.fed {
				leads.Step(&event.Input{At: unit.Time(f.at * unit.Microsecond), Tap: 3, Kind: f.kind, Data: []byte(f.text)}, see)
			}
			assert.Equal(t, c.want, got)

			got, leads = nil, new(engine.Leads)
			for _, f := range c.fed {
				leads.Step(&event.Input{At: unit.Time(f.at * unit.Microsecond), Tap: 3, Kind: f.kind, Data: []byte(f.text)}, see)
				kept, err := json.Marshal(leads)
				require.NoError(t, err)
				leads = new(engine.Leads)
				require.NoError(t, json.Unmarshal(kept, leads))
			}
			assert.Equal(t, c.want, got, "from checkpoints")
		})
	}
}

// zero is the board starting anew.
func (b *leadBoard) zero() *leadBoard {
	b.seq = 0
	return b
}

// lost is n lines that were numbered and did not arrive.
func (b *leadBoard) lost(n uint16) *leadBoard {
	b.seq += n
	return b
}

func TestWhatLeadsCount(t *testing.T) {
	b := &leadBoard{}
	leads := new(engine.Leads)
	step := func(at unit.Duration, kind event.InputKind, text string) {
		leads.Step(&event.Input{At: unit.Time(at * unit.Microsecond), Tap: 3, Kind: kind, Data: []byte(text)}, func(*event.Observation) {})
	}
	step(500_000, event.InputTapUp, `{"port":"board","settings":"500000 8N1"}`)
	step(600_000, event.InputBytes, "xy")
	assert.Zero(t, leads.Counts.Tick, "not told yet")
	first := boardInfo(1) + boardInfo(4) + boardInfo(4) + b.pulse(5, 1000, 3000) + b.pulse(2, 1100, 3200) + b.pulse(5, 41_000, 3100)
	step(1_000_000, event.InputBytes, first)
	assert.Equal(t, 20*unit.Millisecond, leads.Counts.Outputs.List[1].Period)
	second := b.lost(2).pulse(2, 81_100, 2000) + b.zero().pulse(9, 1, 3000) + b.pulse(2, 1000, 3000) + b.pulse(5, 1200, 2800)
	step(1_050_000, event.InputBytes, second)
	step(1_060_000, event.InputBadBytes, "!!")
	step(1_070_000, event.InputOverrun, "7")

	var refused [pulse.Reasons]int64
	refused[pulse.Outside] = 4
	refused[pulse.Malformed] = int64(len("$PBPX,0,9,1,BB8*hh\r\n"))
	got := leads.Counts
	assert.Equal(t, event.Port{Port: "board", Settings: "500000 8N1"}, got.Port)
	assert.Equal(t, []int64{1, 7, int64(2 + len(first) + len(second) + 2), 2}, []int64{got.Ups, got.LostChars, got.Bytes, got.BadChars})
	assert.True(t, got.Up)
	assert.Equal(t, "ref-8", got.Board)
	assert.Equal(t, unit.Duration(500), got.Tick)
	assert.Equal(t, []int64{9, 2, 3, 1}, []int64{got.Lines, got.LostLines, got.Dropped, got.Restarts})
	assert.Equal(t, refused, got.Refused)
	// The last two pulses are the first of a clock that began anew, and fall at once: at
	// the date of their lines.
	assert.Equal(t, []engine.OutputCounts{
		{Output: 2, Pulses: 3, Last: unit.Time(1_050_000 * unit.Microsecond), Width: 1_500_000},
		{Output: 5, Pulses: 3, Last: unit.Time(1_050_000 * unit.Microsecond), Width: 1_400_000},
	}, got.Outputs.List)

	step(2_000_000, event.InputTapDown, "unplugged")
	assert.False(t, leads.Counts.Up)
	assert.Equal(t, "unplugged", leads.Counts.Why)
	assert.Equal(t, "ref-8", leads.Counts.Board)
	assert.Equal(t, unit.Duration(500), leads.Counts.Tick)
	assert.Equal(t, int64(9), leads.Counts.Lines)
}

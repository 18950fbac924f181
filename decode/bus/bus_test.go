package bus_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/scale"
	"benchproof.example/decode/servobus"
	"benchproof.example/decode/uart"
)

// Sixteen counts are always written, as they were before there was room for more.
func TestCountsAsJSON(t *testing.T) {
	for _, c := range []struct {
		counts bus.Counts
		want   string
	}{
		{bus.Counts{}, `[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]`},
		{bus.Counts{0: 992, 15: 2047}, `[992,0,0,0,0,0,0,0,0,0,0,0,0,0,0,2047]`},
		{bus.Counts{0: 1<<32 - 1, 17: 1}, `[4294967295,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,1]`},
	} {
		b, err := json.Marshal(c.counts)
		require.NoError(t, err)
		assert.Equal(t, c.want, string(b))
		back := bus.Counts{31: 7}
		require.NoError(t, json.Unmarshal(b, &back))
		assert.Equal(t, c.counts, back)
	}
	var c bus.Counts
	require.ErrorContains(t, json.Unmarshal([]byte(`[1,-1]`), &c), "values of channels")
	require.ErrorContains(t, json.Unmarshal([]byte(`[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]`), &c), "got 33, want at most 32")
}

// The state of a framer and of a frame is written as it always was.
func TestStateAsJSON(t *testing.T) {
	b, err := json.Marshal(bus.Frame{Flags: bus.Lost, Private: 4})
	require.NoError(t, err)
	assert.JSONEq(t, `{"Counts":[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0],"Flags":4,"Footer":4,"Bad":false}`, string(b))
	b, err = json.Marshal(bus.Account{In: 3, Refused: bus.Refused{bus.CutOff: 3}})
	require.NoError(t, err)
	assert.JSONEq(t, `{"In":3,"Frames":0,"Refused":[0,0,0,3],"OddFlags":0,"Locks":0}`, string(b))
	b, err = json.Marshal(bus.Refused{bus.BadSum: 2})
	require.NoError(t, err)
	assert.Equal(t, `[0,0,0,0,2]`, string(b))
	var r bus.Refused
	require.NoError(t, json.Unmarshal(b, &r))
	assert.Equal(t, bus.Refused{bus.BadSum: 2}, r)
	assert.Equal(t, int64(2), r.Total())
	require.ErrorContains(t, json.Unmarshal([]byte(`[0,0,0,0,0,1]`), &r), "got 6 reasons, want at most 5")
	require.ErrorContains(t, json.Unmarshal([]byte(`{}`), &r), "refused bytes by reason")
}

func TestReasonsHaveWords(t *testing.T) {
	seen := map[string]bool{}
	for r := range bus.Reason(bus.Reasons) {
		assert.Regexp(t, `^[a-z]+(-[a-z]+)*$`, r.String())
		assert.False(t, seen[r.String()])
		seen[r.String()] = true
	}
	assert.Equal(t, "unknown", bus.Reason(bus.Reasons).String())
}

func TestDigitalChannelsHaveOneFlagEach(t *testing.T) {
	assert.Equal(t, bus.Flags(1), bus.Digital(0))
	assert.Equal(t, bus.Flags(2), bus.Digital(1))
	assert.Zero(t, bus.Digital(-1))
	assert.Zero(t, bus.Digital(bus.MaxDigital))
	f := bus.Frame{Flags: bus.Digital(1) | bus.Failsafe}
	assert.False(t, f.Digital(0))
	assert.True(t, f.Digital(1))
	assert.False(t, f.Lost())
	assert.True(t, f.Failsafe())
}

// A sheet holds its row, and sheets are compared.
func TestRowsCanBeCompared(t *testing.T) {
	assert.Equal(t, servobus.Protocol(), servobus.Protocol())
	assert.NotEqual(t, servobus.Protocol(), bustest.Twelve())
}

// What the row of the servo bus gives is what the trade knows of it.
func TestFiguresOfARow(t *testing.T) {
	p := servobus.Protocol()
	assert.Equal(t, 18, p.LastChannel())
	assert.True(t, p.Rail(0))
	assert.True(t, p.Rail(2047))
	assert.False(t, p.Rail(2046))
	assert.Equal(t, uint32(80), p.CountsOf(50_000))
	assert.Equal(t, uint32(1), p.CountsOf(1))

	p = bustest.Twelve()
	assert.Equal(t, 12, p.LastChannel())
	assert.Equal(t, uint32(50_000), p.CountsOf(50_000))
	assert.Equal(t, int64(86_806), p.CharTime())
	assert.Equal(t, int64(3_472_222), p.FrameTime(), "not forty times a rounded character")
	assert.Zero(t, p.LastStop())
	p.Scale = scale.Scale{Counts: [2]int64{0, 100}, Nanos: [2]int64{2_000_000, 1_000_000}}
	assert.Equal(t, uint32(5), p.CountsOf(50_000), "a scale that runs down")
}

func TestARowThatCannotBe(t *testing.T) {
	for want, spoil := range map[string]func(p *bus.Protocol){
		"frames of 0 bytes":                 func(p *bus.Protocol) { p.FrameLen = 0 },
		"33 channels, want 1 to 32":         func(p *bus.Protocol) { p.Channels = bus.MaxChannels + 1 },
		"3 digital channels, want 0 to 2":   func(p *bus.Protocol) { p.Digital = bus.MaxDigital + 1 },
		"the flags 0xd":                     func(p *bus.Protocol) { p.Flags |= bus.Digital(0) },
		"counts from 5 to 5":                func(p *bus.Protocol) { p.Range = [2]uint32{5, 5} },
		"without name":                      func(p *bus.Protocol) { p.Name = "" },
		"or title":                          func(p *bus.Protocol) { p.Title = "" },
		"no reason cut-off":                 func(p *bus.Protocol) { p.Reasons = p.Reasons[:2] },
		"without a codec":                   func(p *bus.Protocol) { p.Codec = nil },
		"got 9 data bits":                   func(p *bus.Protocol) { p.Line.Data = 9 },
		"both points of the scale":          func(p *bus.Protocol) { p.Scale = scale.Scale{} },
		"got 3 stop bits, want 1 or 2":      func(p *bus.Protocol) { p.Line.Stop = 3 },
		"got the parity 7, want none, even": func(p *bus.Protocol) { p.Line.Parity = uart.Parity(7) },
	} {
		p := servobus.Protocol()
		require.NoError(t, p.Check())
		spoil(p)
		require.ErrorContains(t, p.Check(), want)
	}
}

func TestFindingInATable(t *testing.T) {
	table := bus.Table{servobus.Protocol(), bustest.Twelve()}
	assert.Equal(t, []string{"servo-bus", "twelve"}, table.Names())
	for name, want := range map[string]string{"": "servo-bus", "servo-bus": "servo-bus", "twelve": "twelve"} {
		p, ok := table.Find(name)
		require.True(t, ok)
		assert.Equal(t, want, p.Name)
	}
	_, ok := table.Find("thirteen")
	assert.False(t, ok)
	_, ok = bus.Table{}.Find("")
	assert.False(t, ok)
}

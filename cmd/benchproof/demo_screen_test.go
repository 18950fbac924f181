package main

import (
	"encoding/binary"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// playedDemo judges a script of the demo in simulated time, on a computer that never
// stands still; shown gets what the screen has a line for.
func playedDemo(t *testing.T, name string, shown func(*event.Event), beats func(*sheet.Sheet, *state.State)) []*claim.Claim {
	t.Helper()
	script := simtest.Named(t, name)
	text, err := demoSheet(name, script)
	require.NoError(t, err)
	sh, err := sheet.Read("the demo's sheet", text)
	require.NoError(t, err)
	index := claim.NewIndex(sh)
	bench := engine.New(sh, func(e *event.Event, _ int64) {
		if index.OnScreen(e) {
			shown(e)
		}
	})
	put := func(at int64, tap int, kind event.InputKind, data []byte) {
		bench.Step(&event.Input{At: unit.Time(at / 1000 * 1000), Tap: uint8(tap), Kind: kind, Data: data})
	}
	asJSON := func(v any) []byte {
		data, err := json.Marshal(v)
		require.NoError(t, err)
		return data
	}
	start := event.Start{Build: "test"}
	for _, tap := range script.Taps() {
		kind := "bus"
		if tap.Kind == world.Pulses {
			kind = "pulses"
		}
		start.Taps = append(start.Taps, event.TapName{Name: tap.Name, Kind: kind})
	}
	put(0, event.BenchTap, event.InputBegin, asJSON(start))
	for i := range script.Taps() {
		put(0, i+1, event.InputTapUp, asJSON(event.Port{Port: "/dev/pts/0", Settings: "as the line wants"}))
	}
	beat := int64(unit.Second)
	for _, d := range simtest.Play(script, 1).Deliveries {
		for ; beat <= d.At; beat += int64(unit.Second) {
			put(beat, event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(beat)))
			now := bench.State()
			now.Recorder.Recording = true
			beats(sh, now)
		}
		put(d.At, d.Tap+1, event.InputBytes, d.Data)
	}
	put(beat, event.BenchTap, event.InputEnd, nil)
	return bench.Claims()
}

// The demo's screen at 80 columns, without colour: every line that scrolls by, the status
// line every ten seconds, then the end.
func TestTheDemosScreen(t *testing.T) {
	const columns = 80
	var screen strings.Builder
	lines := view.Lines{Columns: columns}
	claims := playedDemo(t, "wing", func(e *event.Event) {
		screen.WriteString(lines.Event(e))
	}, func(sh *sheet.Sheet, now *state.State) {
		screen.WriteString(lines.Due(now.NowNS))
		if int64(now.NowNS)%(10*int64(unit.Second)) == 0 {
			screen.WriteString("\n" + view.StatusLine(now, sh, columns-1, false) + "\n\n")
		}
	})
	screen.WriteString(lines.Rest() + "\n")
	end := view.Ending{Columns: columns, Rows: 24 - besideEnding}
	ending := end.Lines(claims)
	assert.LessOrEqual(t, len(ending), end.Rows)
	screen.WriteString(strings.Join(ending, "\n") + "\n")
	for _, line := range strings.Split(screen.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), columns, line)
	}
	golden(t, "testdata/demo-80-columns.txt", screen.String())
}

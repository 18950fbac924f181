package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A wall clock that is set in a gap of the recording, which a replay does not see, is told of anew
// behind it, and all events have then the same dates.
func TestAClockThatIsSetInAGap(t *testing.T) {
	const from, set = int64(1_777_713_243_000_000_000), int64(3600 * unit.Second)
	at := func(s float64) unit.Time { return unit.Time(s * float64(unit.Second)) }
	heard := func(gap bool) (behind []string) {
		e := engine.New(starter(t), func(e *event.Event, wall int64) {
			if e.At >= at(6.5) {
				behind = append(behind, fmt.Sprint(e.Seq, " ", e.Kind, " ", wall-from-int64(e.At)))
			}
		})
		step := func(s float64, kind event.InputKind, data []byte) {
			e.Step(&event.Input{At: at(s), Kind: kind, Data: data})
		}
		beat := func(s float64, off int64) {
			step(s, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(from+int64(at(s))+off)))
		}
		start, err := json.Marshal(event.Start{Build: "x", WallNS: from, Taps: []event.TapName{{Name: "main", Kind: "bus"}}})
		require.NoError(t, err)
		step(0, event.InputBegin, start)
		beat(1, 0)
		step(2, event.InputRecordingGap, []byte(`{"ended":false,"why":"x"}`))
		for s := 3.0; gap && s < 6; s++ {
			beat(s, set)
		}
		step(6.5, event.InputRecordingGap, []byte(`{"ended":true,"why":"x","inputs":3,"seq":4}`))
		beat(7, set)
		beat(8, set)
		step(9, event.InputMark, []byte("x"))
		return behind
	}
	replayed := heard(false)
	assert.Equal(t, replayed, heard(true))
	assert.Equal(t, []string{"4 recording.gap 0", "5 clock.stepped 3600000000000", "6 mark 3600000000000"}, replayed)
}

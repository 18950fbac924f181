package monitor_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// An entry of the papers that changes in a gap of the recording, which a replay does not see, is a change again where it is
// put in behind it; one that is as before the gap is none.
func TestPapersThatChangeInAGap(t *testing.T) {
	heard := func(gap, torn bool) (behind []string) {
		s := starter(t)
		hear := func(e *event.Event, _ int64) {
			if d, ok := e.Data.(event.PapersData); ok && e.At > 6*unit.Time(unit.Second) {
				require.NotNil(t, d.Was)
				behind = append(behind, d.Was.Date+" "+d.Date)
			}
		}
		e := engine.New(s, hear)
		step := func(s int64, kind event.InputKind, data string) {
			e.Step(&event.Input{At: unit.Time(s * int64(unit.Second)), Kind: kind, Data: []byte(data)})
		}
		bound := func(s int64, date string) {
			step(s, event.InputPapers, `{"entry":"bound","is":"","by":"Ann","date":"`+date+`"}`)
		}
		start, err := json.Marshal(event.Start{Build: "x", Taps: []event.TapName{{Name: "main", Kind: "bus"}}})
		require.NoError(t, err)
		step(0, event.InputBegin, string(start))
		bound(1, "2026-05-02")
		step(2, event.InputRecordingGap, `{"ended":false,"why":"x"}`)
		if gap {
			bound(3, "2026-05-04")
		}
		if torn {
			state, err := e.Checkpoint()
			require.NoError(t, err)
			e, err = engine.Restore(state, s, hear)
			require.NoError(t, err)
		}
		step(6, event.InputRecordingGap, `{"ended":true,"why":"x","inputs":3,"seq":4}`)
		bound(7, "2026-05-02")
		bound(8, "2026-05-04")
		return behind
	}
	for _, torn := range []bool{false, true} {
		assert.Equal(t, []string{"2026-05-02 2026-05-04"}, heard(false, torn))
		assert.Equal(t, []string{"2026-05-02 2026-05-04"}, heard(true, torn))
	}
}

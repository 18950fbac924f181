package monitor_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
)

// A state in which any field has another name is another build's: restored, it
// would be empty there without a word.
func TestRestoreRefusesARenamedField(t *testing.T) {
	for _, name := range []string{"loss-outputs"} {
		s := readScenario(t, name)
		s.replay(t, func(r *session.Replay, hear engine.EventFunc) {
			var state json.RawMessage
			n := 0
			require.NoError(t, engine.Run(r.Source, r.Engine, func(*event.Input) {
				if n++; n == 400 {
					var err error
					state, err = r.Engine.Checkpoint()
					require.NoError(t, err)
				}
			}))
			_, err := engine.Restore(state, s.sheet, hear)
			require.NoError(t, err)
			names := fieldsOf(t, state)
			assert.Greater(t, len(names), 300)
			for _, end := range names { // of the name, at its closing quote
				renamed := slices.Concat(state[:end], []byte("_"), state[end:])
				_, err := engine.Restore(renamed, s.sheet, hear)
				assert.Error(t, err, "%.60s", state[max(0, end-30):])
			}
		})
	}
}

// fieldsOf finds the names of all members in a text, but those in maps, in which
// any name is a good one.
func fieldsOf(t *testing.T, text []byte) (ends []int) {
	d := json.NewDecoder(bytes.NewReader(text))
	type level struct{ object, isMap, value bool } // value: the next token is one
	var open []level
	key := ""
	for d.More() || len(open) > 0 {
		token, err := d.Token()
		require.NoError(t, err)
		if delim, ok := token.(json.Delim); ok && (delim == '}' || delim == ']') {
			open = open[:len(open)-1]
			continue
		}
		if len(open) > 0 {
			if in := &open[len(open)-1]; in.object {
				if in.value = !in.value; in.value {
					key = token.(string)
					if !in.isMap {
						ends = append(ends, int(d.InputOffset())-1)
					}
					continue
				}
			}
		}
		if delim, ok := token.(json.Delim); ok {
			open = append(open, level{object: delim == '{', isMap: slices.Contains([]string{"widths_ns", "figures", "seen", "buses"}, key)})
		}
	}
	return ends
}

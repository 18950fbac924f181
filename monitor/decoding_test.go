package monitor_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
)

// sights are observations as text, each with all that it points to.
type sights []string

func (s *sights) see(o *event.Observation) {
	frame, pulse, c := "", "", *o
	if c.Frame != nil {
		frame = fmt.Sprint(*c.Frame)
	}
	if c.Pulse != nil {
		pulse = fmt.Sprint(*c.Pulse)
	}
	c.Frame, c.Pulse, c.Repeats = nil, nil, false // whether it repeats is not always known
	*s = append(*s, fmt.Sprintf("%+v %s %s", c, frame, pulse))
}

// Decoding alone gives what judging hands on, from the beginning and from any checkpoint.
func TestDecodingAloneSeesWhatJudgingDoes(t *testing.T) {
	sh := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		inputs := anyInputs(t)
		e := engine.New(sh, func(*event.Event, int64) {})
		var judged, decoded sights
		e.OnSight = judged.see
		d := engine.NewDecoding(sh.Protocol, decoded.see)
		restarts := rapid.IntRange(1, len(inputs)).Draw(t, "restarts")
		for i := range inputs {
			if i > 0 && i%restarts == 0 {
				state, err := e.Checkpoint()
				require.NoError(t, err)
				d, err = engine.RestoreDecoding(state, sh.Protocol, decoded.see)
				require.NoError(t, err)
			}
			e.Step(&inputs[i])
			d.Step(&inputs[i])
			require.Equal(t, judged, decoded, "input %d", i)
			judged, decoded = judged[:0], decoded[:0]
		}
	})
}

func TestDecodersOfAnotherBuildAreRefused(t *testing.T) {
	sh := starter(t)
	e := engine.New(sh, func(*event.Event, int64) {})
	in := begin("main", "leads")
	e.Step(&in)
	state, err := e.Checkpoint()
	require.NoError(t, err)
	_, err = engine.RestoreDecoding(state, sh.Protocol, func(*event.Observation) {})
	require.NoError(t, err)
	for _, name := range []string{`"Framer"`, `"Wire"`, `"Clock"`, `"Good"`} {
		other := bytes.Replace(state, []byte(name), []byte(name[:2]+"_"+name[2:]), 1)
		_, err = engine.RestoreDecoding(other, sh.Protocol, func(*event.Observation) {})
		require.ErrorContains(t, err, "another build made it", name)
	}
	_, err = engine.RestoreDecoding([]byte(`{"taps":[]}`), sh.Protocol, func(*event.Observation) {})
	require.ErrorContains(t, err, "decoders")
}

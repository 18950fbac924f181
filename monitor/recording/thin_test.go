package recording_test

import (
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

// heard are the inputs that thinning takes away.
func heard(in *event.Input) bool {
	switch in.Kind {
	case event.InputBytes, event.InputBadBytes, event.InputEdges, event.InputOverrun, event.InputBeat:
		return true
	}
	return false
}

// What stays of a thinned segment has its numbers; what was taken away is a gap that says so,
// and no damage. Parts that were not thinned are as they were.
func TestThinning(t *testing.T) {
	inputs := append(every(t), later(hour(false)[:5000], every(t))...)
	for i := 1; i < len(inputs); i++ { // dates of the hour begin anew
		inputs[i].At = max(inputs[i].At, inputs[i-1].At)
	}
	d := closed(t, inputs, 1500)
	for n := 1; n <= 3; n++ {
		require.NoError(t, recording.Pack(t.Context(), d, n, nil))
	}
	list, err := recording.Segments(d)
	require.NoError(t, err)
	span, err := recording.SpanOf(t.Context(), d, list[0])
	require.NoError(t, err)
	assert.Equal(t, recording.SegmentSpan{Base: base, From: 0, To: inputs[1499].At}, span)
	size := len(d.Content(list[0].Name))
	require.NoError(t, recording.Thin(t.Context(), d, list[0]))
	require.NoError(t, recording.Thin(t.Context(), d, list[2]))
	assert.Less(t, len(d.Content(list[0].Name)), size)
	require.ErrorIs(t, recording.Thin(t.Context(), d, list[0]), recording.ErrThinned)

	got, r := readAll(t, d)
	require.Zero(t, r.DamageCount())
	next, lacking := int64(0), [4]int64{}
	for i := range got {
		if g := (event.RecordingGapInput{}); got[i].Kind == event.InputRecordingGap && string(inputs[next].Data) != string(got[i].Data) {
			g = gapOf(t, got[i])
			assert.Contains(t, g.Why, "thinned")
			for range g.Inputs {
				require.True(t, heard(&inputs[next]))
				require.NotEqual(t, int64(1), next/1500, "that one was not thinned")
				lacking[next/1500]++
				next++
			}
			continue
		}
		require.Equal(t, inputs[next], got[i])
		next++
	}
	assert.Equal(t, int64(len(inputs)), next)
	assert.Equal(t, []recording.Thinned{{File: list[0].Name, Inputs: lacking[0]}, {File: list[2].Name, Inputs: lacking[2]}}, r.Thinned())
	assert.Equal(t, int64(1500), lacking[2], "nothing but frames")

	file := unzstd(t, d.Content(list[2].Name))
	assert.Regexp(t, `"thinned":\{"inputs":1500,"from_ns":\d+,"to_ns":\d+,"sha256":"[0-9a-f]{64}",`+
		`"taps":\[\{"name":"main","reads":1\d\d\d,"bytes":\d+,"bad":0,"frames":\d{3,4}\},`, string(file))
	whole, _ := exported(t, d, recording.Span{})
	assert.NotContains(t, string(whole), `"thinned":{`)
}

// A power cut while a segment is thinned leaves it as it was, or thinned.
func TestThinningBehindAPowerCut(t *testing.T) {
	inputs := steady(200)
	for seed := range uint64(50) {
		luck := rand.New(rand.NewPCG(seed, 0))
		d := closed(t, inputs, 100)
		require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
		list, err := recording.Segments(d)
		require.NoError(t, err)
		d.Before = func(filestest.Call) error {
			got, r := readAll(t, d.PowerCut(luck))
			require.Zero(t, r.DamageCount())
			require.Contains(t, []int{101, 200}, len(got))
			return nil
		}
		require.NoError(t, recording.Thin(t.Context(), d, list[0]))
	}
}

func TestADamagedSegmentIsNotThinned(t *testing.T) {
	d := closed(t, steady(400), 100)
	require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
	const name = "recording-000001.pcapng.zst"
	hurt := d.Content(name)
	hurt[len(hurt)/2] ^= 1
	d.Put(name, hurt)
	list, err := recording.Segments(d)
	require.NoError(t, err)
	err = recording.Thin(t.Context(), d, list[0])
	require.True(t, errors.Is(err, recording.ErrDamaged), err)
	assert.Equal(t, hurt, d.Content(name))
}

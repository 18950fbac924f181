package session

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/unit"
)

// Who stops the program while it opens a large folder does not wait for that, and all in it
// is as it was.
func TestOpeningASessionEndsWithItsContext(t *testing.T) {
	p := newPowerCuts(t, 1, nil)
	opt := p.options(p.disk)
	opt.Segment = unit.Minute
	l, err := Open(t.Context(), opt)
	require.NoError(t, err)
	p.live = l
	l.Seq.Put(1, event.InputTapUp, []byte(`{"port":"simulated"}`))
	for range 3000 {
		p.now += second / 1000
		l.Seq.Put(event.BenchTap, event.InputMark, []byte("a mark"))
		p.frames()
		finishSteps(l.judge.step)
		finishSteps(l.rec.step)
		finishSteps(l.writer.step)
	}
	require.NoError(t, p.end(l))
	for name, most := range map[string]int{TimelineFile: 0, RecordingFile: 1} { // reads when nobody wants any more
		before := map[string][]byte{}
		list, err := p.disk.Names()
		require.NoError(t, err)
		for _, n := range list {
			before[n] = p.disk.Content(n)
		}
		ctx, stop := context.WithCancel(t.Context())
		late := 0
		p.disk.Before = func(c filestest.Call) error {
			switch {
			case ctx.Err() != nil && c.Op == "read":
				late++
			case c.Op == "read" && c.Name == name:
				stop()
			}
			return nil
		}
		_, err = Open(ctx, opt)
		require.ErrorIs(t, err, context.Canceled, name)
		assert.LessOrEqual(t, late, most, name)
		for n, text := range before {
			assert.Equal(t, text, p.disk.Content(n), n)
		}
		p.disk.Before = nil
	}
	l, err = Open(t.Context(), opt)
	require.NoError(t, err)
	require.NoError(t, p.end(l))
}

package port

import (
	"context"
	"encoding/binary"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

// A tick that lay waiting while the computer stalled says when it came due, not
// when it was heard.
func TestABeatAfterAStallSaysTheTimeItIsDatedBy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		seq := NewSequencer(func() int64 { return int64(time.Since(start)) }, 0, 0)
		ctx, stop := context.WithTimeout(t.Context(), 7500*time.Millisecond)
		defer stop()
		beats := 0
		Beat(ctx, seq, func() {
			if beats++; beats == 2 {
				time.Sleep(2060 * time.Millisecond)
			}
		})
		seq.Close(0)
		b := taken(seq, Judge)
		assert.Equal(t, beats, b.Len())
		assert.Greater(t, beats, 4)
		for i := range b.Len() {
			in := b.Input(i)
			assert.Equal(t, event.InputBeat, in.Kind)
			assert.Equal(t, start.UnixNano(), int64(binary.BigEndian.Uint64(in.Data))-int64(in.At), "beat %d at %v", i, in.At)
		}
	})
}

package session

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

// verifiedMeanwhile is a session in short segments, packed as it goes on, that somebody
// verifies.
type verifiedMeanwhile struct {
	*powerCuts
	within bool // of a call to the disk that something else happens in
	times  int  // that it was verified
}

func (v *verifiedMeanwhile) verify(t *testing.T, running func() bool) {
	v.within = true
	found, err := verify(context.Background(), v.disk, running, judgeOfTests, "test")
	v.within = false
	v.times++
	if errors.Is(err, recording.ErrNotRecording) {
		return // nothing is recorded yet
	}
	require.NoError(t, err)
	require.Empty(t, found.Faults, "%v", v.disk)
}

func yes() bool { return true }

// move has the session go on by a step.
func (v *verifiedMeanwhile) move() {
	moves := v.moves()
	moves[v.luck.IntN(len(moves)-1)]()
}

func newVerified(t *testing.T, seed uint64) *verifiedMeanwhile {
	v := &verifiedMeanwhile{powerCuts: newPowerCuts(t, seed, nil)}
	v.asked = map[int64]string{}
	var err error
	v.live, err = Open(t.Context(), v.options(v.disk))
	require.NoError(t, err)
	t.Cleanup(func() { v.live.Seq.Close(0) })
	v.live.Seq.Put(1, event.InputTapUp, []byte(`{"port":"simulated"}`))
	return v
}

// A session that runs is as it was written at each call to its disk: also while a segment
// is closed under its number and while one is packed.
func TestASessionThatRunsIsWholeBetweenAnyTwoCalls(t *testing.T) {
	seen, segments := map[string]bool{}, 0
	for seed := range uint64(3) {
		v := newVerified(t, seed)
		v.disk.Before = func(c filestest.Call) error {
			often := c.Op == "write" || c.Op == "sync"
			if !v.within && c.Op != "read" && c.Op != "open" && c.Op != "names" && v.live != nil && (!often || v.luck.IntN(8) == 0) {
				seen[c.Op] = true
				v.verify(t, yes)
			}
			return nil
		}
		for range 500 {
			v.move()
		}
		list, err := recording.Segments(v.disk)
		require.NoError(t, err)
		segments += len(list)
		v.disk.Before = nil
		require.NoError(t, v.end(v.live))
	}
	assert.Greater(t, segments, 3*3)
	for _, op := range []string{"create", "write", "sync", "rename", "sync folder", "remove"} {
		assert.True(t, seen[op], op)
	}
}

// Who verifies reads one file behind the other, while the session goes on.
func TestASessionGoesOnWhileItIsVerified(t *testing.T) {
	for seed := range uint64(8) {
		v := newVerified(t, seed)
		for range 150 {
			v.move()
		}
		stepping := false
		v.disk.Before = func(filestest.Call) error {
			if v.within && !stepping && v.luck.IntN(3) == 0 {
				stepping = true
				for range v.luck.IntN(60) {
					v.move()
				}
				stepping = false
			}
			return nil
		}
		for range 3 {
			v.verify(t, yes)
		}
		v.disk.Before = nil
		require.NoError(t, v.end(v.live))
	}
}

// Who begins to record while a session is verified writes at the ends too.
func TestASessionIsResumedWhileItIsVerified(t *testing.T) {
	for seed := range uint64(8) {
		v := newVerified(t, seed)
		for range 150 {
			v.move()
		}
		require.NoError(t, v.end(v.live))
		v.live = nil
		stepping := false
		v.disk.Before = func(c filestest.Call) error {
			if !v.within || stepping || c.Op != "read" {
				return nil
			}
			stepping = true
			defer func() { stepping = false }()
			if v.live == nil && c.Name == TimelineFile {
				var err error
				v.live, err = Open(t.Context(), v.options(v.disk))
				require.NoError(t, err)
			}
			for range v.luck.IntN(60) {
				if v.live != nil {
					v.move()
				}
			}
			return nil
		}
		v.verify(t, func() bool { return v.live != nil })
		require.NotNil(t, v.live)
		v.disk.Before = nil
		require.NoError(t, v.end(v.live))
	}
}

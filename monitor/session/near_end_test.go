package session_test

import (
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/state"
)

// What the bench is like at the end is the same from the newest checkpoint on as from the
// beginning. Checkpoints of another build, and those ahead of what is left, are passed over.
func TestAReplayNearTheEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		for i := range uint64(2) {
			s := inSegments(folder, 10, "main")
			require.NoError(t, s.listen(t, "good", i, 60*time.Second))
			time.Sleep(2 * time.Second)
		}
		atEnd := func(judge string) (begun int64, at *state.State) {
			hear := func(*event.Event, int64) {}
			r, err := session.OpenReplayNearEnd(session.Folder(folder), judge, readStarter(t), hear)
			require.NoError(t, err)
			begun = r.Engine.Seq()
			require.NoError(t, engine.Run(r.Source, r.Engine, nil))
			r.Close()
			return begun, r.Engine.State()
		}
		const own = "0123456789abcdef"
		from, whole := atEnd("another")
		require.Zero(t, from, "from the beginning")
		require.NotNil(t, whole.Account)
		near, same := atEnd(own)
		assert.Positive(t, near)
		assert.Equal(t, whole, same)
		none, same := atEnd("")
		assert.Zero(t, none, "who does not know what it is")
		assert.Equal(t, whole, same)

		require.NoError(t, os.Remove(session.Folder(folder).Path(session.RecordingFile)))
		earlier, cut := atEnd(own)
		assert.Less(t, earlier, near, "the end was lost")
		assert.Positive(t, earlier)
		_, whole = atEnd("another")
		assert.Equal(t, whole, cut)
	})
}

package recording_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

// A long segment is read from its last checkpoint that fits: what is found is the same,
// but for damage before it, which nobody looks at then.
func TestRepairReadsOnBehindACheckpoint(t *testing.T) {
	inputs := steady(40)
	file := write(t, section(0), inputs)
	var places []recording.Position
	d := filestest.New()
	d.Put(name, file)
	f, err := d.Open(name)
	require.NoError(t, err)
	r := recording.NewReader(f)
	var in event.Input
	for range inputs {
		require.NoError(t, r.Next(&in))
		places = append(places, r.Position())
	}
	whole, err := recording.Repair(t.Context(), d)
	require.NoError(t, err)
	require.NotEmpty(t, whole.Session)

	hurt := append([]byte(nil), file[:len(file)-3]...)
	hurt[borders(t, section(0), inputs)[4]+40] ^= 1
	of := func(session string, n int) recording.Checkpoint {
		return recording.Checkpoint{Session: session, Position: places[n]}
	}
	misfit := of(whole.Session, 30)
	misfit.Position.Offset += 4
	beyond := of(whole.Session, 39)
	beyond.Position.Offset = int64(len(file)) + 1
	for about, c := range map[string]struct {
		kept []recording.Checkpoint
		told int // damages
	}{
		"none":                      {nil, 1},
		"one":                       {[]recording.Checkpoint{of(whole.Session, 20)}, 0},
		"before the damage":         {[]recording.Checkpoint{of(whole.Session, 1)}, 1},
		"of another session":        {[]recording.Checkpoint{of("another", 20)}, 1},
		"one that does not fit":     {[]recording.Checkpoint{of(whole.Session, 20), misfit}, 0},
		"only one that doesn't fit": {[]recording.Checkpoint{misfit}, 1},
		"one behind the end":        {[]recording.Checkpoint{of(whole.Session, 20), beyond}, 0},
		"one at the torn input":     {[]recording.Checkpoint{of(whole.Session, 20), of(whole.Session, 38)}, 0},
	} {
		d := filestest.New()
		d.Put(name, hurt)
		done, err := recording.Repair(t.Context(), d, c.kept...)
		require.NoError(t, err, about)
		assert.Len(t, done.Damages, c.told, about)
		assert.Equal(t, whole.Session, done.Session, about)
		assert.Equal(t, int64(39), done.Inputs, about)
		assert.Equal(t, inputs[38].At, done.Last, about)
		assert.Equal(t, whole.Base, done.Base, about)
		assert.Equal(t, hurt[:done.Good], d.Content(name), about)
		assert.Equal(t, borders(t, section(0), inputs)[39], done.Good, about)
	}
}

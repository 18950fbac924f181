package recording_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
)

func TestIdentityPinned(t *testing.T) {
	// printf '5\n{"build":"x"}' | sha256sum
	assert.Equal(t, "5831166986632a7fc09a490d0c2a42a4", recording.Identity(5, []byte(`{"build":"x"}`)))
	assert.NotEqual(t, recording.Identity(5, nil), recording.Identity(6, nil))
	assert.NotEqual(t, recording.Identity(5, []byte("a")), recording.Identity(5, []byte("b")))
}

// It stays what it is, whatever is appended or torn off behind the first input.
func TestIdentityOfARecording(t *testing.T) {
	d := filestest.New()
	list := every(t)
	other := section(0)
	other.Base++
	first := write(t, section(0), list)
	want := recording.Identity(base, list[0].Data)
	more := write(t, recording.Section{Base: base + 5, First: int64(len(list)), Taps: taps}, list[1:])
	for what, c := range map[string]struct {
		file []byte
		want string
	}{
		"whole":         {first, want},
		"torn":          {first[:len(first)-9], want},
		"with more":     {append(first[:len(first):len(first)], more...), want},
		"one input":     {write(t, section(0), list[:1]), want},
		"no input":      {write(t, section(0), nil), ""},
		"another base":  {write(t, other, list), recording.Identity(base+1, list[0].Data)},
		"another first": {write(t, section(0), list[1:]), recording.Identity(base, list[1].Data)},
	} {
		d.Put(name, c.file)
		r, err := recording.Repair(t.Context(), d)
		require.NoError(t, err, what)
		assert.Equal(t, c.want, r.Session, what)
	}
}

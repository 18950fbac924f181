package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAssumptions(t *testing.T) {
	text := "sheet: 1\nmodel: M\nchannels: {14: {name: teach, kind: momentary, rest: 1040, pressed: 1930}}\n"
	s, err := Read("a.yaml", []byte(text+"assumed: [channels.14.pressed, failsafe.within]\n"))
	require.NoError(t, err)
	assert.True(t, s.Assumes("channels.14.pressed"))
	assert.True(t, s.Assumes("channels.14."))
	assert.True(t, s.Assumes("failsafe.within"))
	assert.False(t, s.Assumes("channels.1."))
	assert.False(t, s.Assumes("failsafe.flag"))
	_, err = Read("a.yaml", []byte(text+"assumed: [channels.14.presed]\n"))
	require.ErrorContains(t, err, `a.yaml:4:11: found "channels.14.presed", which is no key of a sheet`)
}

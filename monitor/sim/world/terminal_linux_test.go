package world

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A port tells how it is set: here as it was made, raw.
func TestAPortTellsHowItIsSet(t *testing.T) {
	ptys, err := OpenPTYs(1)
	require.NoError(t, err)
	f, ok := ptys.Listener(0)
	assert.True(t, ok)
	assert.Equal(t, "38400 8N1", f.String())
	require.NoError(t, ptys.Close())
	_, ok = ptys.Listener(0)
	assert.False(t, ok, "it is unplugged")
}

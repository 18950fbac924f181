package port

import (
	"os/exec"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A program that is started while a port is open does not get it.
func TestAChildGetsNoPort(t *testing.T) {
	here, tty, err := pty.Open()
	require.NoError(t, err)
	path := tty.Name()
	require.NoError(t, tty.Close())
	p, err := openPort(path, BoardSettings)
	require.NoError(t, err)
	out, err := exec.Command("ls", "-l", "/proc/self/fd").CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "/dev/null", "the list is a real one")
	assert.NotContains(t, string(out), path+"\n")
	require.NoError(t, p.Close())
	require.NoError(t, here.Close())
}

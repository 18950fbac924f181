package port

import (
	"os"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/uart"
)

// What was found is set again, whatever was tried meanwhile; what is no port is left alone.
func TestAPortIsPutBackAsItWasFound(t *testing.T) {
	near, far, err := pty.Open()
	require.NoError(t, err)
	defer func() { _, _ = near.Close(), far.Close() }()
	read := func() unix.Termios {
		set, err := unix.IoctlGetTermios(int(far.Fd()), unix.TCGETS2)
		require.NoError(t, err)
		return *set
	}
	before := read()
	found := Remember(far.Name())
	assert.Equal(t, "38400 8N1", found.String())
	for _, f := range []uart.Format{{Baud: 100_000, Data: 8, Parity: uart.Odd, Stop: 2}, {Baud: 57_600, Data: 8, Stop: 1}} {
		l, err := openPort(far.Name(), f)
		require.NoError(t, err)
		require.NotEqual(t, before, read())
		require.NoError(t, l.Close())
	}
	require.NoError(t, found.PutBack())
	assert.Equal(t, before, read())

	for _, path := range []string{os.DevNull, "/dev/no-such-port"} {
		none := Remember(path)
		assert.Empty(t, none.String())
		assert.NoError(t, none.PutBack())
	}
	gone := Found{path: os.DevNull, settings: &terminal{}}
	assert.ErrorContains(t, gone.PutBack(), "set "+os.DevNull+" as it was found")
}

func TestShortFormOfATerminal(t *testing.T) {
	for want, flags := range map[string]uint32{
		"9600 8N1": unix.CS8, "9600 8E2": unix.CS8 | unix.PARENB | unix.CSTOPB, "9600 7O1": unix.CS7 | unix.PARENB | unix.PARODD, "9600 5N1": unix.CS5,
	} {
		found := Found{settings: &terminal{line: unix.Termios{Cflag: flags, Ispeed: 9600}}}
		assert.Equal(t, want, found.String())
	}
}

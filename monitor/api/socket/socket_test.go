package socket_test

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
)

func listen(t testing.TB, folder string) net.Listener {
	l, err := socket.Listen(folder)
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	return l
}

func TestTheSocketIsTheOwnersAndGoesWithItsListener(t *testing.T) {
	folder := sockettest.Folder(t)
	l := listen(t, folder)
	path := filepath.Join(folder, socket.Name)
	info, err := os.Stat(path)
	require.NoError(t, err)
	if runtime.GOOS != "windows" { // which has no such modes
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	conn, err := socket.Dial(t.Context(), folder)
	require.NoError(t, err)
	require.NoError(t, conn.Close())
	require.NoError(t, l.Close())
	_, err = os.Stat(path)
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = socket.Dial(t.Context(), folder)
	require.Error(t, err)
}

func TestASocketLeftBehindIsReplaced(t *testing.T) {
	folder := sockettest.Folder(t)
	l, err := net.Listen("unix", filepath.Join(folder, socket.Name))
	require.NoError(t, err)
	l.(*net.UnixListener).SetUnlinkOnClose(false)
	require.NoError(t, l.Close())
	_, err = socket.Dial(t.Context(), folder)
	require.Error(t, err)
	listen(t, folder)
	conn, err := socket.Dial(t.Context(), folder)
	require.NoError(t, err)
	require.NoError(t, conn.Close())
}

func TestWhatAnswersOrIsNoSocketStays(t *testing.T) {
	folder := sockettest.Folder(t)
	listen(t, folder)
	_, err := socket.Listen(folder)
	require.ErrorContains(t, err, "another benchproof answers at")
	conn, err := socket.Dial(t.Context(), folder)
	require.NoError(t, err)
	require.NoError(t, conn.Close())

	other := sockettest.Folder(t)
	require.NoError(t, os.WriteFile(filepath.Join(other, socket.Name), []byte("mine"), 0o600))
	_, err = socket.Listen(other)
	require.ErrorContains(t, err, "is no socket; drills and marks need that name: move the file away")
	text, err := os.ReadFile(filepath.Join(other, socket.Name))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(text))
}

func TestFoldersThatHoldNoSockets(t *testing.T) {
	long := filepath.Join(sockettest.Folder(t), strings.Repeat("x", 100))
	require.NoError(t, os.Mkdir(long, 0o700))
	_, err := socket.Listen(long)
	require.ErrorContains(t, err, "is too long")
	require.ErrorContains(t, err, "want at most 103; drills and marks need a session folder with a shorter path")
	_, err = socket.Dial(t.Context(), long)
	require.ErrorContains(t, err, "is too long")
	t.Chdir(long)
	listen(t, ".") // a shorter way to it

	for _, folder := range []string{filepath.Join(sockettest.Folder(t), "nowhere"), "/proc/self"} { // one that is not there; a file system without sockets
		if _, err := os.Stat(folder); folder == "/proc/self" && err != nil {
			continue
		}
		_, err = socket.Listen(folder)
		require.ErrorContains(t, err, "can't be made, so drills and marks are not possible in this folder, and the session goes on without them", folder)
	}
}

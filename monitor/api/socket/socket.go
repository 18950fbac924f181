// Package socket has the unix socket in a session's folder, over which HTTP reaches the
// daemon that runs there. Who may open the socket may put things into the session, so
// it is its owner's alone.
package socket

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"time"
)

// Name is the file name of the socket in a session's folder.
const Name = "control"

const (
	maxPath      = 103 // bytes: what the name of a socket may have on every system
	dialPatience = 2 * time.Second
)

// What is said of a folder that can't hold the socket.
const (
	pathTooLong = "the path of the control socket is too long: got %d bytes, want at most %d; drills and marks need a " +
		"session folder with a shorter path, or a shorter way to it from the working folder: %s"
	notMade = "the control socket can't be made, so drills and marks are not possible in this folder, and the session " +
		"goes on without them; not every file system holds sockets (a memory stick or a network share may not): %w"
)

// Path is the socket of a session's folder; an error says that the path is too long for one.
func Path(folder string) (string, error) {
	path := filepath.Join(folder, Name)
	if len(path) > maxPath {
		return "", fmt.Errorf(pathTooLong, len(path), maxPath, path)
	}
	return path, nil
}

// Listen makes the socket of a folder. One that was left behind by a daemon that is no
// more is replaced; it goes when the listener is closed. Errors are sentences.
func Listen(folder string) (net.Listener, error) {
	path, err := Path(folder)
	if err != nil {
		return nil, err
	}
	if err := clearAway(path); err != nil {
		return nil, err
	}
	l, err := net.Listen("unix", path)
	if err != nil {
		return nil, fmt.Errorf(notMade, err)
	}
	if err := restrict(path); err != nil {
		return nil, errors.Join(fmt.Errorf("the control socket can't be kept for its owner alone, so there is none: %w", err), l.Close())
	}
	return l, nil
}

func clearAway(path string) error {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil && info.Mode()&fs.ModeSocket == 0 {
		return fmt.Errorf("%s is no socket; drills and marks need that name: move the file away", path)
	}
	if conn, err := net.DialTimeout("unix", path, dialPatience); err == nil {
		_ = conn.Close()
		return fmt.Errorf("another benchproof answers at %s", path)
	}
	if err := os.Remove(path); err != nil {
		return fmt.Errorf("a control socket was left behind and can't be replaced: %w", err)
	}
	return nil
}

// Dial connects to the socket of a folder.
func Dial(ctx context.Context, folder string) (net.Conn, error) {
	path, err := Path(folder)
	if err != nil {
		return nil, err
	}
	dialer := net.Dialer{Timeout: dialPatience}
	return dialer.DialContext(ctx, "unix", path)
}

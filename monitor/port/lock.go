package port

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"github.com/gofrs/flock"
)

// A claim on a port does not bind root, so two programs of ours also keep off
// each other by a locked file, one for each device. The file stays when the port
// is closed: removing it would let two hold "the" lock.

// lockFolders are tried in turn.
func lockFolders() []string {
	if runtime.GOOS == "windows" {
		return []string{os.TempDir()}
	}
	return []string{"/run/lock", "/var/lock", os.TempDir()}
}

// lockName is the name of a device's lock file: that of the real device, so that
// every link to it leads to one file. "" for what is no device.
func lockName(path string) string {
	if runtime.GOOS != "windows" {
		device, err := filepath.EvalSymlinks(path)
		if err != nil {
			return ""
		}
		info, err := os.Stat(device)
		if err != nil || info.Mode()&fs.ModeCharDevice == 0 {
			return ""
		}
		path = strings.TrimPrefix(device, "/dev/")
	}
	return "benchproof." + strings.NewReplacer("/", "-", `\`, "-", ":", "-", ".", "-").Replace(path) + ".lock"
}

// lockPort takes the lock of a port, or says in a HeldError who has it. Without a
// folder for locks there is none (nil), and listening goes on: the claim still
// holds for all but root.
func lockPort(path string, folders []string) (*flock.Flock, error) {
	name := lockName(path)
	if name == "" {
		return nil, nil
	}
	for _, folder := range folders {
		file := filepath.Join(folder, name)
		l, locked, err := tryLock(file)
		switch {
		case err != nil:
			continue
		case !locked:
			return nil, &HeldError{Path: path, By: []Holder{{PID: readPID(file), Program: "benchproof"}}}
		}
		writePID(file)
		return l, nil
	}
	return nil, nil
}

// tryLock locks a file and makes it where it is missing. In a folder for all, a
// file of somebody else may be opened but not "made" (protected_regular, proc(5)).
func tryLock(file string) (*flock.Flock, bool, error) {
	l := flock.New(file, flock.SetFlag(os.O_RDONLY))
	locked, err := l.TryLock()
	if errors.Is(err, fs.ErrNotExist) {
		l = flock.New(file, flock.SetFlag(os.O_CREATE|os.O_RDONLY), flock.SetPermissions(0o644))
		locked, err = l.TryLock()
	}
	return l, locked, err
}

// readPID is whose lock it is, 0 if that can't be seen.
func readPID(file string) int {
	text, _ := os.ReadFile(file)
	pid, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil {
		return 0
	}
	return pid
}

// writePID is a courtesy: in a file of somebody else it does nothing.
func writePID(file string) {
	w, err := os.OpenFile(file, os.O_WRONLY|os.O_TRUNC, 0)
	if err != nil {
		return
	}
	_, _ = w.WriteString(strconv.Itoa(os.Getpid()) + "\n")
	_ = w.Close()
}

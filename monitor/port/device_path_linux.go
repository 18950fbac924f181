package port

import (
	"os"
	"path/filepath"
)

// stableName is the name under which a port can be found again when it comes back
// under another number: the link that the system makes for the adapter, else the
// one for its socket. A name that is a link already was chosen by the user and
// stays; so does one that has no link.
func stableName(path string) string { return stableIn("/dev/serial", path) }

func stableIn(links, path string) string {
	device, err := filepath.EvalSymlinks(path)
	if err != nil || device != filepath.Clean(path) {
		return path
	}
	for _, kind := range []string{"by-id", "by-path"} {
		folder := filepath.Join(links, kind)
		list, _ := os.ReadDir(folder)
		for _, l := range list {
			name := filepath.Join(folder, l.Name())
			if to, err := filepath.EvalSymlinks(name); err == nil && to == device {
				return name
			}
		}
	}
	return path
}

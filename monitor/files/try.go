package files

import (
	"os"
	"path/filepath"
)

// TryFolder makes a folder where one of this name would be made, or in it, and takes it away
// again: an error says why nothing can be written there.
func TryFolder(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	for {
		_, err := os.Stat(path)
		if err == nil || !os.IsNotExist(err) || filepath.Dir(path) == path {
			break
		}
		path = filepath.Dir(path)
	}
	tried, err := os.MkdirTemp(path, ".benchproof-")
	if err != nil {
		return err
	}
	return os.Remove(tried)
}

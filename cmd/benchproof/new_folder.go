package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"benchproof.example/monitor/session"
)

// newFolder makes the folder of a session for which none was named: BELOW/MODEL/DATE-TIME,
// and behind the time "-2", "-3" and so on where another session began in the same second.
func newFolder(below, model string, now time.Time) (session.Folder, error) {
	of := filepath.Join(below, folderName(model))
	if err := os.MkdirAll(of, 0o755); err != nil {
		return "", fmt.Errorf("make a folder for the session: %w", err)
	}
	first := filepath.Join(of, now.Format("2006-01-02-150405"))
	folder := first
	for n := 2; ; n++ {
		err := os.Mkdir(folder, 0o755) // of two who ask at once, one is refused
		switch {
		case err == nil:
			return session.Folder(folder), nil
		case !errors.Is(err, fs.ErrExist):
			return "", fmt.Errorf("make a folder for the session: %w", err)
		}
		folder = fmt.Sprintf("%s-%d", first, n)
	}
}

// folderName is a model's name made fit for a folder.
func folderName(model string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		default:
			return '-'
		}
	}, model)
	if name = strings.Trim(name, "-"); name == "" {
		return "model"
	}
	return name
}

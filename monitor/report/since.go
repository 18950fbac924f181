package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
)

// Earlier is the folder beside the given one that holds the newest earlier
// session of the same model, "" for none. Folders that hold no session, or one
// that can't be read, are passed over.
func Earlier(folder string, r *record.Record) (string, error) {
	own, err := filepath.Abs(folder)
	if err != nil {
		return "", fmt.Errorf("look for an earlier session: %w", err)
	}
	entries, err := os.ReadDir(filepath.Dir(own))
	if err != nil {
		return "", fmt.Errorf("look for an earlier session: %w", err)
	}
	var found string
	var newest time.Time
	for _, e := range entries {
		path := filepath.Join(filepath.Dir(own), e.Name())
		if path == own || !e.IsDir() {
			continue
		}
		model, begun, err := identity(path)
		if err == nil && model == r.Model && begun.Before(r.Begun) && begun.After(newest) {
			found, newest = path, begun
		}
	}
	return found, nil
}

// identity is the model of a session and when it began, without judging it.
func identity(folder string) (model string, begun time.Time, err error) {
	f := session.Folder(folder)
	if !f.Exists() {
		r, err := read(filepath.Join(folder, record.RecordFile))
		if err != nil {
			return "", time.Time{}, err
		}
		return r.Model, r.Begun, nil
	}
	s, err := f.ReadSheet()
	if err != nil {
		return "", time.Time{}, err
	}
	file, err := os.Open(f.Recording())
	if err != nil {
		return "", time.Time{}, err
	}
	defer func() { _ = file.Close() }()
	var in event.Input
	var start event.Start
	if err := recording.NewReader(file).Next(&in); err != nil {
		return "", time.Time{}, err
	}
	if err := json.Unmarshal(in.Data, &start); err != nil || in.Kind != event.InputBegin {
		return "", time.Time{}, errors.Join(errors.New("the recording does not begin with a session"), err)
	}
	return s.Model, record.WallTime(start.WallNS), nil
}

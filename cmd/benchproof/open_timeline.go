package main

import (
	"errors"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
)

// openTimeline opens the timeline of a session's folder.
func openTimeline(folder session.Folder) (files.File, error) {
	in, err := folder.Open()
	if err != nil {
		return nil, err
	}
	f, err := in.Open(session.TimelineFile)
	if err = errors.Join(err, in.Close()); err != nil {
		return nil, err
	}
	return f, nil
}

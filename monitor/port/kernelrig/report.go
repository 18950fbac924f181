//go:build linux

package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
)

// report is what the guest reports to the host: lines of a word and a JSON value.
type report struct{ out io.Writer }

func (r *report) write(word string, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		data, _ = json.Marshal(err.Error())
	}
	fmt.Fprintf(r.out, "%s %s\n", word, data)
}

// with passes on what the program under test said and its timeline so far, and
// returns err.
func (r *report) with(err error) error {
	text, unread := os.ReadFile(talkFile)
	for line := range strings.Lines(string(text)) {
		r.write("talk", strings.TrimRight(line, "\n"))
	}
	return errors.Join(err, unread, r.timeline())
}

func (r *report) timeline() error {
	text, err := os.ReadFile(journal)
	if err != nil {
		return fmt.Errorf("report the timeline: %w", err)
	}
	for line := range bytes.Lines(text) {
		r.write("event", json.RawMessage(bytes.TrimSpace(line)))
	}
	return nil
}

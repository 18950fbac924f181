package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
)

// keptDraft is a draft that is not complete, as it is kept beside its sheet.
type keptDraft struct {
	Session string          `json:"session"` // the folder of the session that listened
	Draft   json.RawMessage `json:"draft"`
}

// kept is where answers are kept until the sheet is written.
func (d *draftDialogue) kept() string { return d.file + ".draft" }

// begin begins a conversation and a session, or goes on with those that were broken off.
func (d *draftDialogue) begin(now time.Time) error {
	text, err := files.ReadNamed(d.kept(), files.MaxText)
	if errors.Is(err, fs.ErrNotExist) {
		d.talking = draft.New(d.sit.sheet.Protocol)
		return d.another(now)
	}
	var was keptDraft
	if err == nil {
		err = json.Unmarshal(text, &was)
	}
	if err == nil {
		d.talking, err = draft.Resume(d.sit.sheet.Protocol, was.Draft)
	}
	if err != nil {
		return fail(exitUsage, fmt.Errorf("%s can't be gone on with: %w; remove it to begin anew", d.kept(), err))
	}
	say(d.out, fmt.Sprintf("It goes on where it was broken off; remove %s to begin anew.", d.kept()))
	d.sit.folder = session.Folder(fromHere(was.Session))
	if listened, err := d.sit.folder.SheetText(); was.Session == "" || err != nil || !bytes.Equal(listened, d.sit.sheetText) {
		return d.another(now)
	}
	return nil
}

// another begins a session in a folder of its own.
func (d *draftDialogue) another(now time.Time) (err error) {
	d.sit.folder, err = newFolder(sessionsFolder, d.sit.sheet.Model, now)
	return fail(exitDevice, err)
}

// keep keeps what was answered, for the next time.
func (d *draftDialogue) keep() {
	if len(d.talking.History) == 0 {
		return
	}
	folder, err := filepath.Abs(string(d.sit.folder))
	if err != nil {
		folder = string(d.sit.folder)
	}
	text, err := d.talking.Save()
	if err == nil {
		text, err = json.Marshal(keptDraft{folder, text})
	}
	if err == nil {
		err = files.WriteNamed(d.kept(), text)
	}
	if err != nil {
		say(d.talk, fmt.Sprintf("benchproof: what was answered can't be kept: %v", err))
	}
}

// fromHere is a path as seen from the working folder, where it lies below that.
func fromHere(path string) string {
	here, err := os.Getwd()
	if err != nil {
		return path
	}
	if short, err := filepath.Rel(here, path); err == nil && filepath.IsLocal(short) {
		return short
	}
	return path
}

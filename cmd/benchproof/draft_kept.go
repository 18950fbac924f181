package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/session"
)

// keptDraft is a draft that is not complete, as it is kept: beside its sheet, or in the folder of
// a session that listens.
type keptDraft struct {
	Session string          `json:"session"` // the folder of the session that listened
	Draft   json.RawMessage `json:"draft"`
}

func keptIn(folder session.Folder, draft []byte) ([]byte, error) {
	path, err := filepath.Abs(string(folder))
	if err != nil {
		path = string(folder)
	}
	return json.Marshal(keptDraft{path, draft})
}

// draftFile keeps the draft of a sheet beside it; it implements dialogue.Store.
type draftFile struct {
	sheet  string         // its path
	folder session.Folder // that listens
}

var _ dialogue.Store = (*draftFile)(nil)

// path is where answers are kept until the sheet is written.
func (f *draftFile) path() string { return f.sheet + ".draft" }

func (f *draftFile) read() (k keptDraft, err error) {
	text, err := files.ReadNamed(f.path(), files.MaxText)
	if err == nil {
		err = json.Unmarshal(text, &k)
	}
	return k, err
}

// Load implements dialogue.Store.
func (f *draftFile) Load() ([]byte, error) {
	k, err := f.read()
	return k.Draft, err
}

// Keep implements dialogue.Store.
func (f *draftFile) Keep(draft []byte) error {
	text, err := keptIn(f.folder, draft)
	if err != nil {
		return err
	}
	return files.WriteNamed(f.path(), text)
}

// Write implements dialogue.Store.
func (f *draftFile) Write(sheet []byte) (string, error) {
	if err := files.WriteNamed(f.sheet, sheet); err != nil {
		return "", err
	}
	if err := files.RemoveNamed(f.path()); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return f.sheet, err
	}
	return f.sheet, nil
}

// Written implements dialogue.Store: a file that is there is no draft of this one.
func (f *draftFile) Written() (string, []byte, error) { return "", nil, fs.ErrNotExist }

// draftFolder keeps a draft and its sheets in the folder of the session that listens; it
// implements dialogue.Store.
type draftFolder struct{ folder session.Folder }

var _ dialogue.Store = draftFolder{}

// in does something in the folder.
func (f draftFolder) in(do func(files.Folder) error) error {
	in, err := f.folder.Open()
	if err != nil {
		return err
	}
	return errors.Join(do(in), in.Close())
}

// Load implements dialogue.Store.
func (f draftFolder) Load() (draft []byte, err error) {
	err = f.in(func(in files.Folder) error {
		text, err := files.Read(in, session.DraftFile, files.MaxText)
		if err != nil {
			return err
		}
		var k keptDraft
		err = json.Unmarshal(text, &k)
		draft = k.Draft
		return err
	})
	return draft, err
}

// Keep implements dialogue.Store.
func (f draftFolder) Keep(draft []byte) error {
	text, err := keptIn(f.folder, draft)
	if err != nil {
		return err
	}
	return f.in(func(in files.Folder) error { return files.Replace(in, session.DraftFile, text) })
}

// Write implements dialogue.Store: a sheet that was drafted before stays.
func (f draftFolder) Write(sheet []byte) (file string, err error) {
	err = f.in(func(in files.Folder) error {
		name, err := files.FreeName(in, draftedBase, draftedEnding)
		if err == nil {
			err = files.Replace(in, name, sheet)
		}
		if err != nil {
			return err
		}
		file = f.folder.Path(name)
		if err := in.Remove(session.DraftFile); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return in.Sync()
	})
	return file, err
}

var draftedBase, draftedEnding = strings.TrimSuffix(session.DraftedFile, filepath.Ext(session.DraftedFile)), filepath.Ext(session.DraftedFile)

// Written implements dialogue.Store.
func (f draftFolder) Written() (file string, sheet []byte, err error) {
	err = f.in(func(in files.Folder) error {
		names, err := in.Names()
		if err != nil {
			return err
		}
		name := ""
		for n, next := 2, session.DraftedFile; slices.Contains(names, next); n++ {
			name, next = next, fmt.Sprintf("%s-%d%s", draftedBase, n, draftedEnding)
		}
		if name == "" {
			return fs.ErrNotExist
		}
		file = f.folder.Path(name)
		sheet, err = files.Read(in, name, files.MaxText)
		return err
	})
	return file, sheet, err
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

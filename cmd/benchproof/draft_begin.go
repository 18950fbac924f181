package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/session"
)

// draftKept is what is said of a draft that was broken off and can't be gone on with.
const draftKept = "%s can't be gone on with: %w; remove it to begin anew"

// begin begins a conversation and a session, or goes on with those that were broken off.
func (d *draftDialogue) begin(now time.Time) error {
	was, err := d.store.read()
	there := !errors.Is(err, fs.ErrNotExist)
	if there && err != nil {
		return fail(exitUsage, fmt.Errorf(draftKept, d.store.path(), err))
	}
	d.sit.draft, err = dialogue.Open(dialogue.Options{
		Protocol: d.sit.sheet.Protocol, Taps: d.sit.names(), Store: d.store,
		Commands: func(file string) []string { return draftCommands(file, portsOf(d.sit.taps)) },
	})
	if err != nil {
		return fail(exitUsage, fmt.Errorf(draftKept, d.store.path(), err))
	}
	if there {
		say(d.out, fmt.Sprintf("It goes on where it was broken off; remove %s to begin anew.", d.store.path()))
	}
	d.sit.folder = session.Folder(fromHere(was.Session))
	if listened, err := d.sit.folder.SheetText(); was.Session == "" || err != nil || !bytes.Equal(listened, d.sit.sheetText) {
		if d.sit.folder, err = newFolder(sessionsFolder, d.sit.sheet.Model, now); err != nil {
			return fail(exitDevice, err)
		}
	}
	d.store.folder = d.sit.folder
	return nil
}

// openDraft opens the draft of a session that listens: whoever reaches it over HTTP may begin one.
func (s *liveSession) openDraft(notice func(error)) {
	store := draftFolder{s.folder}
	var err error
	s.draft, err = dialogue.Open(dialogue.Options{
		Protocol: s.sheet.Protocol, Taps: s.names(), Store: store,
		Commands: func(file string) []string { return draftCommands(file, portsOf(s.taps)+s.listen.flags) },
	})
	if err != nil {
		notice(fmt.Errorf("a draft that was kept in %s can't be gone on with, another one begins anew: %w", s.folder, err))
	}
}

// portsOf are the flags of the ports that a draft hears: the first bus and the first capture board.
func portsOf(taps []listened) (flags string) {
	for _, f := range tapFlags {
		for _, t := range taps {
			if t.kind == f.kind {
				flags += " --" + f.flag + " " + t.path
				break
			}
		}
	}
	return flags
}

// draftCommands are what to do with a sheet that was drafted; ports are the flags that name them.
func draftCommands(file, ports string) []string {
	return []string{"benchproof sheet verify " + file, "benchproof watch --sheet " + file + ports}
}

package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
)

// draftOfSession makes a sheet of what a session recorded.
func draftOfSession(cmd *cobra.Command, from, file string, p *bus.Protocol) error {
	folder := session.Folder(from)
	if !folder.Exists() {
		return fail(exitUsage, fmt.Errorf("%s is no session: it has no recording", from))
	}
	in, err := folder.Open()
	if err != nil {
		return fail(exitUsage, err)
	}
	defer func() { _ = in.Close() }()
	r, err := recording.OpenSegments(in)
	if err != nil {
		return fail(exitUsage, err)
	}
	defer func() { _ = r.Close() }()
	play := draft.NewFreePlay(p)
	if err := hearAll(engine.Until(cmd.Context(), r), draft.NewListener(p, nil, play)); err != nil {
		return fail(exitDevice, err)
	}
	text, err := play.Sheet()
	if err != nil {
		return fail(exitWrong, err)
	}
	if err := files.WriteNamed(file, text); err != nil {
		return fail(exitDevice, err)
	}
	return toldDraft(cmd.OutOrStdout(), file, draftCommands(file, " --bus PORT"))
}

// hearAll has a listener hear what a source yields.
func hearAll(s engine.Source, l *draft.Listener) error {
	var in event.Input
	for {
		switch err := s.Next(&in); {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
		l.Step(&in)
	}
}

// toldDraft says what to do with a sheet that was drafted.
func toldDraft(out io.Writer, file string, commands []string) error {
	_, err := fmt.Fprintf(out, "%s is written. Read it: what is assumed is yours to check. Then:\n", file)
	for _, c := range commands {
		if err == nil {
			_, err = fmt.Fprintf(out, "  %s\n", c)
		}
	}
	return fail(exitDevice, err)
}

package report

import (
	"context"
	"fmt"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// FinalState judges what a session recorded, from its newest checkpoint on where this program
// (judge is its session.Fingerprint) left one, and returns what the bench was like at its end,
// its account with it. It ends with the error of ctx once that is done.
func FinalState(ctx context.Context, folder, judge string) (*state.State, error) {
	in := session.Folder(folder)
	s, _, err := sheetOf(in)
	if err != nil {
		return nil, err
	}
	replay, err := session.OpenReplayNearEnd(in, judge, s, func(*event.Event, int64) {})
	if err != nil {
		return nil, err
	}
	err = engine.Run(engine.Until(ctx, replay.Source), replay.Engine, nil)
	replay.Close()
	if err != nil {
		return nil, err
	}
	return replay.Engine.State(), nil
}

// sheetOf is the sheet of a session, and its text.
func sheetOf(folder session.Folder) (*sheet.Sheet, []byte, error) {
	if !folder.Exists() {
		return nil, nil, fmt.Errorf("%w: %s has no recording.pcapng; name the folder of a session", ErrNoSession, string(folder))
	}
	text, err := folder.SheetText()
	if err != nil {
		return nil, nil, fmt.Errorf("%w: %s has no sheet: %w", ErrNoSession, string(folder), err)
	}
	s, err := sheet.Read(folder.Path(session.SheetFile), text)
	if err != nil {
		return nil, nil, fmt.Errorf("the session's sheet: %w", err)
	}
	return s, text, nil
}

package engine

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// engineState is an engine between two steps.
type engineState struct {
	Now         unit.Time         `json:"now"`
	Heard       unit.Time         `json:"heard"`
	Sure        unit.Time         `json:"sure"`
	Seq         int64             `json:"seq"`
	Taps        []event.TapName   `json:"taps"`
	View        base.View         `json:"view"`
	Decoders    []json.RawMessage `json:"decoders"`
	Watchers    []json.RawMessage `json:"watchers"`
	Book        json.RawMessage   `json:"book"`
	Account     *account.Account  `json:"account"`
	Saved       json.RawMessage   `json:"saved,omitempty"`
	SavedToo    json.RawMessage   `json:"saved_account,omitempty"`
	SavedWall   int64             `json:"saved_wall,omitempty"`
	SavedPapers []event.Paper     `json:"saved_papers,omitempty"`
	Runs        int64             `json:"runs"`
	Faults      int64             `json:"faults"`
}

// Checkpoint is all that decides what the engine does next, as JSON.
func (e *Engine) Checkpoint() (json.RawMessage, error) {
	e.audience.wake(&e.view)
	s := engineState{Now: e.now, Heard: e.lastInput, Sure: e.sure, Seq: e.seq, Taps: e.taps, View: e.view, Runs: e.runs, Faults: e.faults}
	var err error
	if s.Decoders, err = eachToJSON(e.decoders); err != nil {
		return nil, err
	}
	if s.Watchers, err = eachToJSON(e.audience.all); err != nil {
		return nil, err
	}
	if s.Book, err = json.Marshal(e.book); err != nil {
		return nil, err
	}
	s.Account, s.Saved, s.SavedToo, s.SavedWall, s.SavedPapers = e.account, e.saved, e.savedToo, e.savedWall, e.savedPapers
	return json.Marshal(s)
}

// Restore makes an engine that goes on from a checkpoint taken under the same
// sheet by the same build. What has other fields than this build's is refused: a
// field that was renamed would come back empty without a word.
func Restore(checkpoint json.RawMessage, sh *sheet.Sheet, hear EventFunc) (*Engine, error) {
	e, err := restoreState(checkpoint, sh, hear)
	if err != nil {
		return nil, err
	}
	again, err := e.Checkpoint()
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(checkpoint, again) {
		return nil, errors.New("checkpoint: it has other fields than this build's; another build made it")
	}
	return e, nil
}

func restoreState(checkpoint json.RawMessage, sh *sheet.Sheet, hear EventFunc) (*Engine, error) {
	var s engineState
	if err := json.Unmarshal(checkpoint, &s); err != nil {
		return nil, fmt.Errorf("checkpoint: %w", err)
	}
	e := New(sh, hear)
	if s.Account != nil {
		e.account = s.Account
		e.account.Under(sh)
	}
	e.taps = s.Taps
	e.restart()
	e.now, e.lastInput, e.sure, e.seq, e.view.Wall = s.Now, s.Heard, s.Sure, s.Seq, s.View.Wall
	if len(s.View.Taps) != len(e.view.Taps) {
		return nil, fmt.Errorf("checkpoint: got %d taps in its view, want %d", len(s.View.Taps), len(e.view.Taps))
	}
	e.view.Taps, e.view.Drill, e.view.Prompt, e.view.PromptAt = s.View.Taps, s.View.Drill, s.View.Prompt, s.View.PromptAt
	e.view.Papers, e.view.Reopens = s.View.Papers, s.View.Reopens
	if err := eachFromJSON(s.Decoders, e.decoders, "decoders"); err != nil {
		return nil, err
	}
	if err := eachFromJSON(s.Watchers, e.audience.all, "watchers"); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(s.Book, e.book); err != nil {
		return nil, fmt.Errorf("checkpoint: %w", err)
	}
	e.saved, e.savedToo, e.savedWall, e.savedPapers, e.runs, e.faults = s.Saved, s.SavedToo, s.SavedWall, s.SavedPapers, s.Runs, s.Faults
	nothingNew(e.decoders)
	return e, nil
}

// nothingNew follows the reading of decoders from a checkpoint: what was refused before it was
// reported.
func nothingNew(decoders []decoder) {
	for _, d := range decoders {
		if on, ok := d.(*Bus); ok {
			on.refused, on.reported = on.Framer.Account().Refused, on.Framer.RefusedBytes()
		}
	}
}

func eachToJSON[T any](list []T) (out []json.RawMessage, err error) {
	for _, v := range list {
		raw, err := json.Marshal(v)
		if err != nil {
			return nil, fmt.Errorf("checkpoint of a %T: %w", v, err)
		}
		out = append(out, raw)
	}
	return out, nil
}

func eachFromJSON[T any](raw []json.RawMessage, list []T, what string) error {
	if len(raw) != len(list) {
		return fmt.Errorf("checkpoint: got %d %s, want %d: another sheet or another build made it", len(raw), what, len(list))
	}
	for i := range list {
		if _, fixed := any(list[i]).(passOn); fixed {
			continue
		}
		if err := json.Unmarshal(raw[i], list[i]); err != nil {
			return fmt.Errorf("checkpoint of a %T: %w", list[i], err)
		}
	}
	return nil
}

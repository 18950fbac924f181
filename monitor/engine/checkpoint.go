package engine

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// engineState is a bench between two steps.
type engineState struct {
	Now      unit.Time         `json:"now"`
	Heard    unit.Time         `json:"heard"`
	Sure     unit.Time         `json:"sure"`
	Seq      int64             `json:"seq"`
	Taps     []event.TapName   `json:"taps"`
	View     base.View         `json:"view"`
	Decoders []json.RawMessage `json:"decoders"`
	Watchers []json.RawMessage `json:"watchers"`
	Book     json.RawMessage   `json:"book"`
	Saved    json.RawMessage   `json:"saved,omitempty"`
	Runs     int64             `json:"runs"`
	Faults   int64             `json:"faults"`
}

// Checkpoint is all that decides what the bench does next, as JSON.
func (b *Engine) Checkpoint() (json.RawMessage, error) {
	s := engineState{Now: b.now, Heard: b.lastInput, Sure: b.sure, Seq: b.seq, Taps: b.taps, View: b.view, Runs: b.runs, Faults: b.faults}
	var err error
	if s.Decoders, err = eachToJSON(b.decoders); err != nil {
		return nil, err
	}
	if s.Watchers, err = eachToJSON(b.watchers); err != nil {
		return nil, err
	}
	if s.Book, err = json.Marshal(b.book); err != nil {
		return nil, err
	}
	s.Saved = b.saved
	return json.Marshal(s)
}

// Restore makes a bench that goes on from a checkpoint taken under the same
// sheet by the same build. What has other fields than this build's is refused: a
// field that was renamed would come back empty without a word.
func Restore(checkpoint json.RawMessage, sh *sheet.Sheet, hear EventFunc) (*Engine, error) {
	b, err := restoreState(checkpoint, sh, hear)
	if err != nil {
		return nil, err
	}
	again, err := b.Checkpoint()
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(checkpoint, again) {
		return nil, errors.New("checkpoint: it has other fields than this build's; another build made it")
	}
	return b, nil
}

func restoreState(checkpoint json.RawMessage, sh *sheet.Sheet, hear EventFunc) (*Engine, error) {
	var s engineState
	if err := json.Unmarshal(checkpoint, &s); err != nil {
		return nil, fmt.Errorf("checkpoint: %w", err)
	}
	b := New(sh, hear)
	b.taps = s.Taps
	b.restart()
	b.now, b.lastInput, b.sure, b.seq, b.view.Wall = s.Now, s.Heard, s.Sure, s.Seq, s.View.Wall
	if len(s.View.Taps) != len(b.view.Taps) {
		return nil, fmt.Errorf("checkpoint: got %d taps in its view, want %d", len(s.View.Taps), len(b.view.Taps))
	}
	b.view.Taps, b.view.Drill, b.view.Prompt, b.view.PromptAt = s.View.Taps, s.View.Drill, s.View.Prompt, s.View.PromptAt
	if err := eachFromJSON(s.Decoders, b.decoders, "decoders"); err != nil {
		return nil, err
	}
	if err := eachFromJSON(s.Watchers, b.watchers, "watchers"); err != nil {
		return nil, err
	}
	if err := json.Unmarshal(s.Book, b.book); err != nil {
		return nil, fmt.Errorf("checkpoint: %w", err)
	}
	b.saved, b.runs, b.faults = s.Saved, s.Runs, s.Faults
	for _, d := range b.decoders {
		if bus, ok := d.(*Bus); ok {
			bus.refused = bus.Framer.Refused()
		}
	}
	return b, nil
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

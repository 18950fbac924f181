package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/waveform"
)

// edges takes the edges of the chosen signals of a waveform, in the file's order.
type edges interface {
	take(*waveform.Event) error
	end(more string) (account, error) // once no more comes, with what else there is to report
}

// decodeWaveform decodes a bus or servo leads out of a dump or a list.
func decodeWaveform(in io.Reader, lines *json.Encoder, w *wants) ([]account, error) {
	r, err := waveform.Open(in)
	if err != nil {
		return nil, err
	}
	names, err := w.choose(r)
	if err != nil {
		return nil, err
	}
	first, err := beginning(r)
	as := w.as
	if as == "" {
		as = looksLike(first, r.Rate())
	}
	var out edges = newLeads(names, r.Rate(), lines, w.invert == "yes")
	if as == asBus {
		var refused error
		if out, refused = newBus(r, lines, w); refused != nil {
			return nil, refused
		}
	}
	if failed := each(first, out); failed != nil {
		err = failed
	}
	for err == nil {
		var more []waveform.Event
		if more, err = r.Next(); err == nil {
			err = each(more, out)
		}
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	more := ""
	if r.Account().Cut {
		more = "; the file ends within a change, which was left out"
	}
	a, failed := out.end(more)
	return []account{a}, errors.Join(err, failed)
}

func each(events []waveform.Event, out edges) error {
	for i := range events {
		if err := out.take(&events[i]); err != nil {
			return err
		}
	}
	return nil
}

// choose selects the signals that the flags name, or the only one.
func (w *wants) choose(r *waveform.Reader) ([]string, error) {
	names, lines := w.signals, waveform.Names(r.Signals())
	if len(names) == 0 && len(lines) == 1 {
		names = lines
	}
	switch {
	case len(lines) == 0:
		return nil, &choiceError{"found no signal of one bit; want a file with one"}
	case len(names) == 0:
		return nil, &choiceError{"found several signals; want them chosen with --signal NAME: " + waveform.Listed(lines)}
	case len(names) > 1 && w.as != asPulses:
		return nil, &choiceError{fmt.Sprintf("got %d signals; want one for a bus, or --as pulses", len(names))}
	}
	if err := r.Select(names...); err != nil {
		return nil, &choiceError{err.Error()}
	}
	return names, nil
}

// enough is how many edges show what a line carries.
const enough = 64

// beginning reads the first edges, and why there are no more.
func beginning(r *waveform.Reader) (first []waveform.Event, err error) {
	for len(first) < enough {
		events, err := r.Next()
		if err != nil {
			return first, err
		}
		first = append(first, events...)
	}
	return first, nil
}

// looksLike distinguishes a bus from servo pulses: its bits are of 10 µs, and no servo
// pulse or pause between two is shorter than half a millisecond (common practice).
func looksLike(first []waveform.Event, rate edge.Rate) string {
	const between = 200_000 // ns
	short := 0
	for i := 1; i < len(first); i++ {
		if first[i].Tick-first[i-1].Tick < rate.Ticks(between) {
			short++
		}
	}
	if 2*short > len(first) {
		return asBus
	}
	return asPulses
}

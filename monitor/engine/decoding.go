package engine

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
)

// Decoding makes of inputs the observations that an Engine makes of them, without judging any:
// for who wants to know what the wire carried, not what it says of the set-up.
type Decoding struct {
	taps     []event.TapName
	protocol *bus.Protocol
	decoders []decoder
	see      func(*event.Observation)
}

// NewDecoding makes one that knows no tap until a Begin or Resume input names them.
func NewDecoding(p *bus.Protocol, see func(*event.Observation)) *Decoding {
	d := &Decoding{protocol: p, see: see}
	d.restart()
	return d
}

// RestoreDecoding makes one that goes on from the checkpoint of an Engine. What decoders of
// another build left there is refused.
func RestoreDecoding(checkpoint json.RawMessage, p *bus.Protocol, see func(*event.Observation)) (*Decoding, error) {
	var s struct {
		Taps     []event.TapName   `json:"taps"`
		Decoders []json.RawMessage `json:"decoders"`
	}
	if err := json.Unmarshal(checkpoint, &s); err != nil {
		return nil, fmt.Errorf("checkpoint: %w", err)
	}
	d := NewDecoding(p, see)
	d.taps = s.Taps
	d.restart()
	if err := eachFromJSON(s.Decoders, d.decoders, "decoders"); err != nil {
		return nil, err
	}
	again, err := eachToJSON(d.decoders)
	if err != nil {
		return nil, err
	}
	for i := range again {
		if !bytes.Equal(s.Decoders[i], again[i]) {
			return nil, errors.New("checkpoint: its decoders have other fields than this build's; another build made it")
		}
	}
	nothingNew(d.decoders)
	return d, nil
}

// Taps are those of the session, as the latest Begin or Resume has them.
func (d *Decoding) Taps() []event.TapName { return d.taps }

func (d *Decoding) restart() { d.decoders = decodersFor(d.taps, d.protocol, d.decoders) }

// Step decodes one input.
func (d *Decoding) Step(in *event.Input) {
	switch in.Kind {
	case event.InputBegin, event.InputResume:
		var s event.Start
		_ = json.Unmarshal(in.Data, &s) // recordings are checked where they are read
		d.taps = s.Taps
		if in.Kind == event.InputBegin {
			d.restart()
		}
	case event.InputRecordingGap:
		var g event.RecordingGapInput
		if _ = json.Unmarshal(in.Data, &g); g.Ended {
			d.restart()
		}
	}
	if int(in.Tap) < len(d.decoders) {
		d.decoders[in.Tap].Step(in, d.see)
	}
	if in.Kind == event.InputResume {
		d.restart()
	}
}

package engine

import (
	"bytes"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/wiretime"
)

// decoder makes observations of a tap's inputs. What it makes depends on bytes,
// dates and marks alone, never on how the bytes were cut, but for one thing: what was
// lost at one date may be reported in parts.
type decoder interface {
	Step(in *event.Input, see func(*event.Observation))
}

// decoderFor makes the decoder of a tap, of a bus by the row of its protocol; it goes on
// counting where the one that
// it takes the place of, if any, left off.
func decoderFor(t event.TapName, p *bus.Protocol, was decoder) decoder {
	switch t.Kind {
	case "pulses":
		l := &Leads{}
		if old, ok := was.(*Leads); ok {
			l.Counts = old.Counts
		}
		return l
	case "tilt":
		p := &Tilt{}
		if old, ok := was.(*Tilt); ok {
			p.Counts = old.Counts
		}
		return p
	}
	b := NewBus(p)
	if old, ok := was.(*Bus); ok {
		b.Counts = old.Counts
	}
	return b
}

// decodersFor are the decoders of taps, by the number of the tap; they go on counting where those
// before left off.
func decodersFor(taps []event.TapName, p *bus.Protocol, before []decoder) []decoder {
	list := []decoder{passOn{}}
	for i, t := range taps {
		var was decoder
		if i+1 < len(before) {
			was = before[i+1]
		}
		list = append(list, decoderFor(t, p, was))
	}
	return list
}

// passOn decodes nothing: inputs without characters go to the watchers as they
// are.
type passOn struct{}

func (passOn) Step(in *event.Input, see func(*event.Observation)) {
	see(&event.Observation{At: in.At, Wire: in.At, Tap: in.Tap, Kind: in.Kind, Data: in.Data})
}

// unreadable is how long no frame may come without damage until the watchers get the
// characters themselves, to say why.
const unreadable = 300 * unit.Millisecond

// Bus decodes the tap of a bus. Its exported fields are what a checkpoint keeps.
type Bus struct {
	Framer bus.Framer
	Wire   wiretime.Estimator
	Counts BusCounts
	Good   unit.Time // date of the latest frame that was not damaged, or of the tap's coming up

	protocol *bus.Protocol
	raw      []byte // of the latest frame, which repeats mostly
	frame    bus.Frame
	seen     event.Observation // a frame
	lost     event.Observation // what was refused
	heard    event.Observation // characters of which no frame was made
	refused  bus.Refused       // as last reported
	reported int64             // all of those
	at       unit.Time
	tap      uint8
	see      func(*event.Observation)
	found    func(*bus.Found)
}

// NewBus makes the decoder of a bus of a protocol.
func NewBus(p *bus.Protocol) *Bus {
	return &Bus{Framer: p.NewFramer(), Wire: wiretime.NewEstimator(unit.Duration(p.FrameTime())), protocol: p}
}

// Step implements decoder.
func (b *Bus) Step(in *event.Input, see func(*event.Observation)) {
	b.at, b.tap, b.see = in.At, in.Tap, see
	switch in.Kind {
	case event.InputBytes, event.InputBadBytes:
		b.Counts.characters(in)
		if b.found == nil {
			b.found = b.onFrame
		}
		if in.At.Sub(b.Good) > unreadable { // before its frames: one that can be believed ends that
			b.heard = event.Observation{At: in.At, Wire: in.At, Tap: in.Tap, Kind: in.Kind, Data: in.Data}
			see(&b.heard)
		}
		b.Framer.Feed(in.Data, int64(in.At), in.Kind == event.InputBadBytes, b.found)
		b.reportRefused()
	case event.InputTapDown:
		b.Framer.Reset()
		b.Wire.Reset()
		b.reportRefused()
		b.Counts.port(in)
		passOn{}.Step(in, see)
	default:
		if in.Kind == event.InputTapUp {
			b.Good = in.At
		}
		b.Counts.port(in)
		passOn{}.Step(in, see)
	}
}

func (b *Bus) onFrame(f *bus.Found) {
	b.reportRefused()
	repeats := bytes.Equal(f.Raw, b.raw)
	if !repeats {
		b.protocol.Decode(f.Raw, &b.frame)
		b.raw = append(b.raw[:0], f.Raw...)
	}
	if b.frame.Bad = f.Bad; !f.Bad {
		b.Good = b.at
	}
	wire, pace := b.Wire.Frame(unit.Time(f.At))
	b.Counts.frame(&b.frame, repeats, wire, &pace)
	o := &b.seen // in which nothing else was ever set
	o.At, o.Wire, o.Tap, o.Kind, o.Frame, o.Repeats, o.Pace = b.at, wire, b.tap, event.FrameSeen, &b.frame, repeats, pace
	b.see(o)
}

// reportRefused reports what the framer refused since the last time.
func (b *Bus) reportRefused() {
	if b.Framer.RefusedBytes() == b.reported {
		return
	}
	now := b.Framer.Account().Refused
	b.lost = event.Observation{At: b.at, Wire: b.at, Tap: b.tap, Kind: event.BytesRefused}
	for i := range now {
		b.lost.Refused[i] = now[i] - b.refused[i]
		b.Counts.Refused[i] += b.lost.Refused[i]
	}
	b.refused = now
	b.reported = now.Total()
	b.see(&b.lost)
}

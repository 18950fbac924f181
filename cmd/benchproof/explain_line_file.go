package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/edge"
	"benchproof.example/decode/linefault"
	"benchproof.example/decode/uart"
	"benchproof.example/decode/waveform"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

// listenTo reads what an argument names: one ear for each bus.
func listenTo(ctx context.Context, arg string, w *wants) (ears []ear, err error) {
	if info, err := os.Stat(arg); err == nil && info.IsDir() {
		err = readSession(session.Folder(arg), func(r inputs) (err error) {
			ears, err = listenRecording(ctx, r, w.protocol)
			return err
		})
		return ears, err
	}
	f, err := files.OpenNamed(arg)
	if err != nil {
		return nil, fail(exitUsage, fmt.Errorf("nothing to explain: it is no port and no file: %w", err))
	}
	defer func() { _ = f.Close() }()
	if recorded, is, err := recording.OpenFile(f, arg); is || err != nil {
		if err != nil {
			return nil, err
		}
		return listenRecording(ctx, recording.NewReader(newInterruptible(ctx, recorded)), w.protocol)
	}
	in := bufio.NewReaderSize(newInterruptible(ctx, f), 1<<16)
	head, _ := in.Peek(waveform.Sniffed)
	if kind, _ := waveform.Sniff(head); kind != waveform.Unknown {
		return listenWaveform(in, w)
	}
	return listenRaw(in, w)
}

// recordedEars are those of the buses of a recording, by tap.
type recordedEars struct {
	protocol *bus.Protocol
	names    []event.TapName
	ears     map[uint8]*ear
}

func listenRecording(ctx context.Context, r inputs, p *bus.Protocol) (ears []ear, err error) {
	taps := recordedEars{protocol: p, ears: map[uint8]*ear{}}
	var in event.Input
	for {
		if err = errors.Join(ctx.Err(), r.Next(&in)); err != nil {
			break
		}
		taps.take(&in)
	}
	if !errors.Is(err, io.EOF) {
		return nil, err
	}
	for _, n := range slices.Sorted(maps.Keys(taps.ears)) {
		ears = append(ears, *taps.ears[n])
	}
	switch len(ears) {
	case 0:
		return nil, &choiceError{"found no bus that was listened to"}
	case 1:
		ears[0].name = ""
	}
	return ears, nil
}

func (r *recordedEars) take(in *event.Input) {
	switch in.Kind {
	case event.InputBegin, event.InputResume:
		var s event.Start
		_ = json.Unmarshal(in.Data, &s) // recordings are checked where they are read
		r.names = s.Taps
	case event.InputTapUp:
		if int(in.Tap) <= len(r.names) && r.names[in.Tap-1].Kind == asBus && r.ears[in.Tap] == nil {
			r.ears[in.Tap] = &ear{name: r.names[in.Tap-1].Name, Listener: linefault.NewListener(r.protocol, int64(in.At))}
		}
	}
	if e := r.ears[in.Tap]; e != nil {
		e.take(in)
	}
	for _, e := range r.ears { // a quiet line has beats
		e.last = int64(in.At)
		e.Until(e.last)
	}
}

// listenWaveform gives what a serial input would read of the line, as an adapter hands it
// over that gathers for a millisecond; and what it would read behind an inverter.
func listenWaveform(in io.Reader, w *wants) ([]ear, error) {
	r, err := waveform.Open(in)
	if err != nil {
		return nil, err
	}
	if _, err := w.choose(r); err != nil {
		return nil, err
	}
	lines := [2]*heardLine{}
	for i := range lines {
		if lines[i], err = newHeardLine(r.Rate(), w.protocol, i == 1); err != nil {
			return nil, &choiceError{"the file's times are too coarse for a bus: " + err.Error()}
		}
	}
	for err == nil {
		var events []waveform.Event
		events, err = r.Next()
		for i := range events {
			for _, l := range lines {
				l.decoder.Edge(events[i].Edge, l.take)
			}
		}
	}
	if !errors.Is(err, io.EOF) {
		return nil, err
	}
	var ears []ear
	for _, l := range lines {
		l.decoder.Until(r.Account().Last, l.take)
		l.last = max(l.last, r.Rate().Nanos(r.Account().Last))
		ears = append(ears, l.ear)
	}
	ears[0].name, ears[1].name = "as it is", "behind an inverter"
	return ears, nil
}

// heardLine is a line of a waveform, read by a serial input.
type heardLine struct {
	ear
	decoder *uart.Decoder
	rate    edge.Rate
	one     [1]byte
}

// newHeardLine makes one, behind an inverter or not.
func newHeardLine(rate edge.Rate, p *bus.Protocol, inverter bool) (*heardLine, error) {
	f := p.Line
	f.Inverted = inverter
	d, err := uart.NewDecoder(rate, f)
	return &heardLine{ear: ear{Listener: linefault.NewListener(p, 0)}, decoder: d, rate: rate}, err
}

func (l *heardLine) take(c *uart.Char) {
	const gathers = int64(unit.Millisecond)
	l.last = (l.rate.Nanos(c.At)/gathers + 1) * gathers
	l.one[0] = c.Byte
	l.Feed(l.one[:], l.last, c.Bad())
}

// listenRaw dates bytes as if they were frames, one behind the other.
func listenRaw(in io.Reader, w *wants) ([]ear, error) {
	e := ear{Listener: linefault.NewListener(w.protocol, 0)}
	var fed int64
	err := pieces(in, func(read []byte) error {
		for _, part := range slots(read, fed, int64(w.protocol.FrameLen)) {
			e.last = int64(port.RawDate(w.protocol, fed, w.period))
			e.Feed(part, e.last, false)
			fed += int64(len(part))
		}
		return nil
	})
	return []ear{e}, err
}

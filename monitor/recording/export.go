package recording

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// Span is a part of a recording: from From on, before To.
type Span struct{ From, To Moment }

// Moment is a moment of a session. The zero value is its start or, where a Span ends, its
// end.
type Moment struct {
	UnixNS int64         // a date, Unix ns; 0: none, and then it is
	Since  unit.Duration // the time since the session's start
}

// at is the bench time of a moment in a section with a base, Unix ns.
func (m *Moment) at(base int64) unit.Time {
	if m.UnixNS != 0 {
		return unit.Time(m.UnixNS - base)
	}
	return unit.Time(m.Since)
}

func (m *Moment) given() bool { return *m != Moment{} }

// Exported is what Export wrote.
type Exported struct {
	Inputs  int64
	Base    int64     // Unix ns of bench time 0
	First   unit.Time // date of the first input
	Last    unit.Time // date of the last one
	Damages []Damage  // of the recording; an export has them too: inputs that are lacking there are lacking in it
}

// exportHeld is how much of an export is held before it is written, bytes.
const exportHeld = 1 << 20

// Export writes a span of the recording in a folder as plain pcapng: one packet for each
// input, the interfaces described, a section for each run of the daemon. It is a recording
// in one file. Ends early with the error of ctx when that is done.
func Export(ctx context.Context, in files.Folder, span Span, to io.Writer) (done Exported, err error) {
	list, err := Segments(in)
	if err != nil {
		return done, err
	}
	if len(list) == 0 {
		return done, fmt.Errorf("%s has no recording: %w", in.Path(), fs.ErrNotExist)
	}
	s := &SegmentReader{in: in, left: list}
	if at := firstWithin(in, list, &span.From); at > 0 {
		s.left, s.number = list[at:], list[at-1].Number
	}
	s.Reader = Reader{more: s.next}
	if err = s.goOn(); err == nil {
		e := exporter{out: to, span: span}
		err = e.copy(ctx, &s.Reader)
		done = e.done
		done.Damages = s.Damages()
	}
	return done, errors.Join(err, s.Close())
}

// firstWithin is the place of the segment in which a moment is: the last that begins
// before it.
func firstWithin(in files.Folder, list []Segment, m *Moment) int {
	if !m.given() {
		return 0
	}
	behind, _ := slices.BinarySearchFunc(list, m, func(seg Segment, m *Moment) int {
		number := seg.Number
		if number == 0 && len(list) > 1 {
			number = list[len(list)-2].Number + 1
		}
		f, _, err := openListed(in, seg, max(1, number)) // it may be closed or packed by now
		if err != nil {
			return -1
		}
		s := &SegmentReader{Reader: *NewReader(f), in: in, file: f}
		var input event.Input
		err = s.Next(&input)
		if errors.Join(err, s.Close()) != nil || input.At < m.at(s.section.base) {
			return -1
		}
		return 1
	})
	return max(0, behind-1)
}

// exporter writes what a reader gives, as far as it lies in a span.
type exporter struct {
	out  io.Writer
	span Span
	done Exported

	w     *Writer
	renew bool    // what is written next begins a section
	from  Section // the section that is being read, as far as it is known
	start int64   // where it begins
	file  string
	ports ports // what each tap reads by now
}

func (e *exporter) copy(ctx context.Context, r *Reader) error {
	var in event.Input
	for {
		switch err := cmp.Or(ctx.Err(), r.Next(&in)); {
		case errors.Is(err, io.EOF):
			return e.flush()
		case err != nil:
			return err
		}
		if r.lacks { // what is read next has a section of its own, with its number
			e.renew = true
			continue
		}
		if e.span.To.given() && in.At >= e.span.To.at(r.section.base) {
			return e.flush()
		}
		if err := e.add(r, &in); err != nil {
			return err
		}
	}
}

// add takes the input that the reader gave last.
func (e *exporter) add(r *Reader, in *event.Input) error {
	if r.section.start != e.start || r.name != e.file || e.done.Base == 0 {
		e.enter(r)
	}
	e.learn(in)
	if in.At < e.span.From.at(r.section.base) {
		e.ports.see(in)
		return nil
	}
	if e.w == nil || e.renew {
		if err := e.begin(r, in); err != nil {
			return err
		}
	}
	if e.done.Inputs == 0 {
		e.done.First = in.At
	}
	e.done.Inputs, e.done.Last = e.done.Inputs+1, in.At
	err := e.w.Write(in)
	e.ports.see(in)
	if err == nil && e.w.Held() > exportHeld {
		err = e.w.Flush()
	}
	return err
}

// enter takes what a section says with which reading goes on. The next segment of one run
// is written on in one section.
func (e *exporter) enter(r *Reader) {
	says := &r.section.says
	same := says.Segment == e.from.Segment+1 && says.Build == e.from.Build && r.section.base == e.from.Base &&
		slices.Equal(says.Taps, e.from.Taps) && slices.Equal(newPorts(says), e.ports)
	e.renew = e.renew || !same
	taps := e.from.Taps
	e.from, e.start, e.file, e.done.Base = *says, r.section.start, r.name, r.section.base
	e.from.Base = r.section.base
	if says.Taps == nil { // of format 1, or the header is damaged
		e.from.Taps = taps
	}
	e.ports = newPorts(&e.from)
}

// learn finds the taps where the section does not say them: their names, or that there is
// one.
func (e *exporter) learn(in *event.Input) {
	taps := e.from.Taps
	if in.Kind == event.InputBegin || in.Kind == event.InputResume {
		var start event.Start
		if json.Unmarshal(in.Data, &start) == nil {
			taps = start.Taps
		}
	}
	for len(taps) < int(in.Tap) {
		taps = append(slices.Clone(taps), event.TapName{Name: fmt.Sprintf("tap %d", len(taps)+1)})
	}
	if !slices.Equal(taps, e.from.Taps) {
		e.from.Taps, e.renew = taps, true
	}
	for len(e.ports) < len(taps) {
		e.ports = append(e.ports, event.Port{})
	}
}

// begin begins a section with the input that the reader gave last.
func (e *exporter) begin(r *Reader, in *event.Input) error {
	if err := e.flush(); err != nil {
		return err
	}
	s := e.from
	s.Thinned = nil
	s.Segment, s.First, s.Last, s.Ports = 0, r.next-1, 0, slices.Clone(e.ports)
	s.Session = cmp.Or(s.Session, r.session)
	if in.Kind == event.InputTapUp { // it describes its interface itself
		s.Ports[in.Tap-1] = event.Port{}
	}
	var err error
	e.w, err = NewWriter(e.out, s)
	e.renew = false
	return err
}

func (e *exporter) flush() error {
	if e.w == nil {
		return nil
	}
	return e.w.Flush()
}

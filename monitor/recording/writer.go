package recording

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Section is what a Writer must know of its run.
type Section struct {
	Base  int64           // Unix ns of bench time 0
	Taps  []event.TapName // tap n of an input is Taps[n-1]
	First int64           // number of the first input, counted from 0 over all sections
	Build string          // the program that writes

	Last    unit.Time    // date of the input before the first: none of this section is earlier
	Session string       // random identity of the session, "" in format 1
	Segment int          // from 1; 0 in format 1
	Ports   []event.Port // what each tap read when the section began, in the order of Taps; empty: nothing did
	Thinned *Tombstone   // of what was taken away; nil: nothing was
}

// Writer writes one section. Write and NewWriter only render, into memory;
// Flush does the writing, so how much is held back is for the caller to say.
//
// After an error of Flush the file may be torn. The caller then cuts it to Good
// bytes after where the section began, and either flushes again, which goes on
// with what is still held, or starts a new section whose First is GoodInputs.
type Writer struct {
	out    io.Writer
	held   blocks
	good   int64
	behind int64 // inputs held

	section Section
	next    int64
	last    unit.Time
	taps    []int // of each interface so far
	current []int // the interface of each tap, noInterface before its first
	ports   ports

	bundle []byte // scratch
}

const noInterface = -1

// NewWriter renders the head of a section.
func NewWriter(out io.Writer, s Section) (*Writer, error) {
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("start a section: %w", err)
	}
	w := &Writer{out: out, section: s, next: s.First, last: s.Last, ports: newPorts(&s)}
	w.current = slices.Repeat([]int{noInterface}, len(s.Taps)+1)
	head, err := addChecksum(s.header())
	if err != nil {
		return nil, err
	}
	w.held.section(head)
	err = w.addInterface(event.BenchTap, event.Port{})
	for i, p := range w.ports {
		if p != (event.Port{}) {
			err = errors.Join(err, w.addInterface(i+1, p))
		}
	}
	return w, err
}

func (s *Section) check() error {
	if s.First < 0 || s.First >= 1<<55 {
		return fmt.Errorf("got the first input number %d, want 0 or more, below 2^55", s.First)
	}
	if len(s.Taps) > math.MaxUint8 {
		return fmt.Errorf("got %d taps, want at most %d", len(s.Taps), math.MaxUint8)
	}
	for i, t := range s.Taps {
		if t.Name == "" || len(t.Name) > maxName {
			return fmt.Errorf("tap %d: got a name of %d bytes, want 1 to %d", i+1, len(t.Name), maxName)
		}
	}
	return nil
}

// Write renders one input. It refuses what could not be read back as it is;
// nothing is rendered then.
func (w *Writer) Write(in *event.Input) error {
	stamp, err := w.accept(in)
	if err != nil {
		return fmt.Errorf("record input %d (%v): %w", w.next, in.Kind, err)
	}
	if in.Tap != event.BenchTap && (in.Kind == event.InputTapUp || w.current[in.Tap] == noInterface) {
		if err := w.addInterface(int(in.Tap), portOf(in)); err != nil {
			return fmt.Errorf("record input %d (%v): %w", w.next, in.Kind, err)
		}
	}
	w.ports.see(in)
	w.packet(in.Tap, eventOf(in.Kind), w.next, stamp, remark(in), in.Data)
	w.next++
	w.behind++
	w.last = in.At
	return nil
}

// writeBundle renders the inputs that a builder holds as one packet, and empties it.
func (w *Writer) writeBundle(b *bundleBuilder) {
	if b.inputs == 0 {
		return
	}
	w.bundle = b.render(w.bundle[:0])
	w.packet(event.BenchTap, eventStatus, w.next, w.section.Base+int64(b.first), bundleComment(b.inputs), w.bundle)
	w.next += int64(b.inputs)
	w.behind += int64(b.inputs)
	w.last = b.last
	b.reset()
}

// accept gives the packet's time in Unix ns.
func (w *Writer) accept(in *event.Input) (int64, error) {
	stamp := w.section.Base + int64(in.At)
	switch {
	case int(in.Kind) >= len(event.InputNames) || event.InputNames[in.Kind] == "":
		return 0, fmt.Errorf("got kind %d, which has no word", in.Kind)
	case in.At < w.last:
		return 0, fmt.Errorf("got date %d ns, want %d or later", in.At, w.last)
	case in.At != in.At.Truncate(unit.Microsecond):
		return 0, fmt.Errorf("got date %d ns, want whole microseconds", in.At)
	case stamp < 0 || stamp/1e9 > math.MaxUint32:
		return 0, fmt.Errorf("got base %d ns + date %d ns, want a time from 1970 to 2106", w.section.Base, in.At)
	case int(in.Tap) >= len(w.current):
		return 0, fmt.Errorf("got tap %d, want 0 to %d", in.Tap, len(w.current)-1)
	case len(in.Data) > MaxData:
		return 0, fmt.Errorf("got %d bytes of data, want at most %d", len(in.Data), MaxData)
	}
	return stamp, nil
}

// addInterface starts an interface for a tap.
func (w *Writer) addInterface(tap int, p event.Port) error {
	id := len(w.taps)
	comment, err := addChecksum(link{
		Interface: id, Tap: tap, Base: w.section.Base, Session: w.section.Session,
		Settings: plain(p.Settings), Latency: plain(p.Latency),
	})
	if err != nil {
		return err
	}
	name := benchName
	if tap != event.BenchTap {
		name = plain(w.section.Taps[tap-1].Name)
	}
	w.held.link(name, comment, plain(p.Port))
	w.current[tap] = id
	w.taps = append(w.taps, tap)
	return nil
}

// packet renders one packet.
func (w *Writer) packet(tap uint8, happened byte, number, stamp int64, comment string, data []byte) {
	size := headerLen + len(data)
	w.held.beginPacket(w.current[tap], stamp, size)
	begun := len(w.held.b)
	w.held.b = binary.BigEndian.AppendUint32(w.held.b, uint32(stamp/1e9))
	w.held.b = binary.BigEndian.AppendUint32(w.held.b, uint32(stamp%1e9/1e3))
	w.held.b = append(w.held.b, happened, 0, 0, 0)
	w.held.b = append(w.held.b, data...)
	sum := crc32.ChecksumIEEE(w.held.b[begun:])
	w.held.pad(size)
	w.held.endPacket(comment, sum, uint64(number)<<8|uint64(tap))
}

// Last is the date of the last input that was rendered.
func (w *Writer) Last() unit.Time { return w.last }

// NextSegment is the section with which the next segment begins, behind the last input
// that was rendered.
func (w *Writer) NextSegment() Section {
	s := w.section
	s.Segment, s.First, s.Last, s.Ports = s.Segment+1, w.next, w.last, slices.Clone(w.ports)
	return s
}

// Held is how many bytes wait for a Flush.
func (w *Writer) Held() int { return len(w.held.b) }

// Good is how many bytes of whole blocks were written, from where the section
// begins.
func (w *Writer) Good() int64 { return w.good }

// GoodInputs is the number that follows the last input within Good.
func (w *Writer) GoodInputs() int64 { return w.next - w.behind }

// Flush writes what is held, in one call.
func (w *Writer) Flush() error {
	if len(w.held.b) == 0 {
		return nil
	}
	n, err := w.out.Write(w.held.b)
	if err == nil && n < len(w.held.b) {
		err = io.ErrShortWrite
	}
	if err == nil {
		w.good += int64(n)
		w.held.b, w.behind = w.held.b[:0], 0
		return nil
	}
	w.dropWhole(min(max(n, 0), len(w.held.b)))
	return fmt.Errorf("write recording: %w", err)
}

// dropWhole lets go of the whole blocks among the first n bytes held.
func (w *Writer) dropWhole(n int) {
	whole := 0
	for whole+minBlock <= n {
		block := w.held.b[whole:]
		length := int(binary.LittleEndian.Uint32(block[4:]))
		if whole+length > n {
			break
		}
		if binary.LittleEndian.Uint32(block) == blockPacket {
			w.behind--
		}
		whole += length
	}
	w.good += int64(whole)
	w.held.b = append(w.held.b[:0], w.held.b[whole:]...)
}

// Position is the place behind the last input that was rendered, in a file in which
// the section begins at the given byte: the same that a Reader's Mark gives
// after reading that input.
func (w *Writer) Position(section int64) Position {
	return Position{
		Segment: w.section.Segment,
		Offset:  section + w.good + int64(len(w.held.b)), Section: section, Base: w.section.Base,
		Taps: slices.Clone(w.taps), Input: w.next, At: w.last,
	}
}

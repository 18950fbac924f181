package recording

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"runtime"
	"slices"
	"time"

	"github.com/gopacket/gopacket"
	"github.com/gopacket/gopacket/layers"
	"github.com/gopacket/gopacket/pcapgo"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Section is what a Writer must know of its run.
type Section struct {
	Base  int64           // Unix ns of bench time 0
	Taps  []event.TapName // tap n of an input is Taps[n-1]
	First int64           // number of the first input, counted from 0 over all sections
	Build string          // the program that writes
}

// Writer writes one section. Write and NewWriter only render, into memory;
// Flush does the writing, so how much is held back is for the caller to say.
//
// After an error of Flush the file may be torn. The caller then cuts it to Good
// bytes after where the section began, and either flushes again, which goes on
// with what is still held, or starts a new section whose First is GoodInputs.
type Writer struct {
	out    io.Writer
	ng     *pcapgo.NgWriter
	held   blocks
	good   int64
	behind int64 // inputs held

	section Section
	next    int64
	last    unit.Time
	taps    []int // of each interface so far
	current []int // the interface of each tap, noInterface before its first

	data []byte // scratch
	id   uint64
	hash [4]byte
	says [1]string
	sums [1]pcapgo.NgEpbHash
}

const noInterface = -1

// blocks takes what the library renders.
type blocks struct{ b []byte }

func (h *blocks) Write(p []byte) (int, error) {
	h.b = append(h.b, p...)
	return len(p), nil
}

// NewWriter renders the head of a section.
func NewWriter(out io.Writer, s Section) (*Writer, error) {
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("start a section: %w", err)
	}
	w := &Writer{out: out, section: s, next: s.First, taps: []int{event.BenchTap}}
	w.current = slices.Repeat([]int{noInterface}, len(s.Taps)+1)
	w.current[event.BenchTap] = 0
	w.sums[0] = pcapgo.NgEpbHash{Algorithm: hashCRC32, Hash: w.hash[:]}
	head, err := addChecksum(Header{Recording: formatNow, Base: s.Base, First: s.First, Build: plain(s.Build)})
	if err != nil {
		return nil, err
	}
	bench, err := w.describe(0, event.BenchTap, event.Port{})
	if err != nil {
		return nil, err
	}
	info := pcapgo.NgSectionInfo{Hardware: runtime.GOARCH, OS: runtime.GOOS, Application: program, Comment: head}
	w.ng, err = pcapgo.NewNgWriterInterface(&w.held, bench, pcapgo.NgWriterOptions{SectionInfo: info})
	if err != nil {
		return nil, fmt.Errorf("start a section: %w", err)
	}
	return w, w.ng.Flush()
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
		if err := w.addInterface(in); err != nil {
			return fmt.Errorf("record input %d (%v): %w", w.next, in.Kind, err)
		}
	}
	if err := w.packet(in, stamp); err != nil {
		return fmt.Errorf("record input %d (%v): %w", w.next, in.Kind, err)
	}
	w.next++
	w.behind++
	w.last = in.At
	return nil
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

// addInterface starts an interface for the input's tap.
func (w *Writer) addInterface(in *event.Input) error {
	var port event.Port
	if in.Kind == event.InputTapUp {
		port = portOf(in)
	}
	description, err := w.describe(len(w.taps), int(in.Tap), port)
	if err != nil {
		return err
	}
	id, err := w.ng.AddInterface(description)
	if err != nil {
		return err
	}
	w.current[in.Tap] = id
	w.taps = append(w.taps, int(in.Tap))
	return nil
}

func (w *Writer) describe(id, tap int, p event.Port) (pcapgo.NgInterface, error) {
	comment, err := addChecksum(link{
		Interface: id, Tap: tap, Base: w.section.Base,
		Settings: plain(p.Settings), Latency: plain(p.Latency),
	})
	name := benchName
	if tap != event.BenchTap {
		name = plain(w.section.Taps[tap-1].Name)
	}
	return pcapgo.NgInterface{
		Name: name, Description: plain(p.Port), Comment: comment,
		LinkType: layers.LinkType(linkType), TimestampResolution: resolution,
	}, err
}

func (w *Writer) packet(in *event.Input, stamp int64) error {
	w.data = append(w.data[:0], make([]byte, headerLen)...)
	binary.BigEndian.PutUint32(w.data, uint32(stamp/1e9))
	binary.BigEndian.PutUint32(w.data[4:], uint32(stamp%1e9/1e3))
	w.data[8] = eventOf(in.Kind)
	w.data = append(w.data, in.Data...)
	binary.BigEndian.PutUint32(w.hash[:], crc32.ChecksumIEEE(w.data))
	w.id = uint64(w.next)<<8 | uint64(in.Tap)
	options := pcapgo.NgPacketOptions{Hashes: w.sums[:], PacketID: &w.id}
	if w.says[0] = remark(in); w.says[0] != "" {
		options.Comments = w.says[:]
	}
	about := gopacket.CaptureInfo{
		Timestamp: time.Unix(0, stamp), CaptureLength: len(w.data), Length: len(w.data),
		InterfaceIndex: w.current[in.Tap],
	}
	if err := w.ng.WritePacketWithOptions(about, w.data, options); err != nil {
		return err
	}
	return w.ng.Flush()
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
		Offset: section + w.good + int64(len(w.held.b)), Section: section, Base: w.section.Base,
		Taps: slices.Clone(w.taps), Input: w.next, At: w.last,
	}
}

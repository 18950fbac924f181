package recording

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"slices"

	"github.com/klauspost/compress/zstd"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// A thinned segment has what people and the program put in (beginnings and ends, ports,
// marks, drills), and of what was heard a Tombstone alone. It is packed, under its own name.

// Tombstone is what a thinned segment says of what was taken away; it stands in the header
// of its section.
type Tombstone struct {
	Inputs int64     `json:"inputs"` // that the segment had, from the section's first on
	From   unit.Time `json:"from_ns"`
	To     unit.Time `json:"to_ns"` // dates of the first and the last
	// SHA-256 over all inputs, hex. Of each, numbers big-endian: its number, date in ns and
	// length (8 bytes each), its tap (1 byte), its kind's word and a newline, its data.
	Hash string       `json:"sha256"`
	Taps []ThinnedTap `json:"taps"`
}

// ThinnedTap is the account of a tap in a thinned segment.
type ThinnedTap struct {
	Name   string `json:"name"`
	Reads  int64  `json:"reads"`
	Bytes  int64  `json:"bytes"`
	Bad    int64  `json:"bad"`    // of these, characters that the port marked as bad
	Frames int64  `json:"frames"` // of a bus; one that the segment's borders cut is in none
}

// staysWhenThinned reports whether an input stays in a thinned segment.
func staysWhenThinned(k event.InputKind) bool {
	switch k {
	case event.InputBytes, event.InputBadBytes, event.InputEdges, event.InputOverrun, event.InputBeat:
		return false
	}
	return true
}

// Thinned says what was taken away from one segment.
type Thinned struct {
	File   string
	Inputs int64
}

// ErrThinned says that a segment was thinned before.
var ErrThinned = errors.New("it was thinned before")

// SegmentSpan is the span of a segment.
type SegmentSpan struct {
	Base     int64     // Unix ns at bench time 0
	From, To unit.Time // dates of the first input and the last
}

// SpanOf is the span of a packed segment of the recording in a folder.
func SpanOf(ctx context.Context, in files.Folder, s Segment) (SegmentSpan, error) {
	t, section, _, err := bury(ctx, in, s)
	if err != nil {
		return SegmentSpan{}, fmt.Errorf("read %s: %w", s.Name, err)
	}
	return SegmentSpan{section.Base, t.From, t.To}, nil
}

// Thin thins a packed segment. What is damaged stays as it is: ErrDamaged.
func Thin(ctx context.Context, in files.Folder, s Segment) error {
	t, section, kept, err := bury(ctx, in, s)
	if err != nil {
		return fmt.Errorf("thin %s: %w", s.Name, err)
	}
	err = files.ReplaceBy(in, s.Name, func(to io.Writer) error {
		z, err := zstd.NewWriter(to, zstd.WithEncoderConcurrency(1), zstd.WithWindowSize(maxWindow))
		if err != nil {
			return err
		}
		section.Thinned = t
		return errors.Join(writeKept(z, section, kept), z.Close())
	})
	if err != nil {
		return fmt.Errorf("thin: %w", err)
	}
	return nil
}

// keptInput is an input that stays, with its number.
type keptInput struct {
	number int64
	event.Input
}

func writeKept(to io.Writer, section Section, kept []keptInput) error {
	w, err := NewWriter(to, section)
	for i := range kept {
		if err == nil {
			w.next = kept[i].number
			err = w.Write(&kept[i].Input)
		}
	}
	return errors.Join(err, w.Flush())
}

// bury reads a segment: its tombstone, its section, and what stays of it.
func bury(ctx context.Context, in files.Folder, s Segment) (*Tombstone, Section, []keptInput, error) {
	r, err := OpenSegment(in, s)
	if err != nil {
		return nil, Section{}, nil, err
	}
	g := &digger{hash: sha256.New()}
	err = g.copy(ctx, &r.Reader)
	if err = errors.Join(err, r.Close()); err != nil {
		return nil, Section{}, nil, err
	}
	g.stone.Hash = hex.EncodeToString(g.hash.Sum(nil))
	for i := range g.stone.Taps {
		g.stone.Taps[i].Frames = g.frames[i]
	}
	return &g.stone, g.section, g.kept, nil
}

// digger makes the tombstone of what it is given.
type digger struct {
	stone   Tombstone
	section Section
	hash    hash.Hash
	kept    []keptInput
	framers []bus.Framer
	frames  []int64
}

func (g *digger) copy(ctx context.Context, r *Reader) error {
	var in event.Input
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		err := r.Next(&in)
		if _, torn := r.Tail(); errors.Is(err, io.EOF) && !torn && r.count == 0 && g.stone.Inputs > 0 {
			return nil
		}
		switch {
		case len(r.thinned) > 0:
			return ErrThinned
		case errors.Is(err, io.EOF), r.lacks:
			return ErrDamaged
		case err != nil:
			return err
		}
		if g.stone.Inputs == 0 {
			g.begin(r, &in)
		}
		g.take(r.next-1, &in)
	}
}

func (g *digger) begin(r *Reader, in *event.Input) {
	g.section = r.section.says
	g.stone.From = in.At
	for _, t := range g.section.Taps {
		g.stone.Taps = append(g.stone.Taps, ThinnedTap{Name: t.Name})
		var framer bus.Framer
		if p, known := protocols.Find(t.Protocol); known && t.Kind == "bus" {
			framer = p.NewFramer()
		}
		g.framers, g.frames = append(g.framers, framer), append(g.frames, 0)
	}
}

func (g *digger) take(number int64, in *event.Input) {
	g.stone.Inputs, g.stone.To = g.stone.Inputs+1, in.At
	b := binary.BigEndian.AppendUint64(nil, uint64(number))
	b = binary.BigEndian.AppendUint64(b, uint64(in.At))
	b = binary.BigEndian.AppendUint64(b, uint64(len(in.Data)))
	b = append(append(append(b, in.Tap), in.Kind.String()...), '\n')
	g.hash.Write(b)
	g.hash.Write(in.Data)
	if staysWhenThinned(in.Kind) {
		kept := keptInput{number, *in}
		kept.Data = slices.Clone(in.Data)
		g.kept = append(g.kept, kept)
	}
	if i := int(in.Tap) - 1; i >= 0 && i < len(g.stone.Taps) && (in.Kind == event.InputBytes || in.Kind == event.InputBadBytes) {
		g.heard(i, in)
	}
}

// heard counts what a tap read.
func (g *digger) heard(i int, in *event.Input) {
	t, bad := &g.stone.Taps[i], in.Kind == event.InputBadBytes
	t.Reads, t.Bytes = t.Reads+1, t.Bytes+int64(len(in.Data))
	if bad {
		t.Bad += int64(len(in.Data))
	}
	if g.framers[i] != nil {
		g.framers[i].Feed(in.Data, int64(in.At), bad, func(*bus.Found) { g.frames[i]++ })
	}
}

// thin is the span of numbers in which inputs were taken away from the segment that is
// being read: no damage, and told.
type thin struct{ first, end int64 }

// covers reports whether the inputs from next up to number were taken away.
func (t *thin) covers(next, number int64) bool {
	return next >= t.first && next < number && number <= t.end
}

// thinGap gives the input that stands for those that were taken away up to a number.
func (r *Reader) thinGap(in *event.Input, number int64) error {
	data, err := json.Marshal(event.RecordingGapInput{Ended: true, Why: "thinned: what was heard then was taken away", Inputs: number - r.next})
	n := len(r.thinned) - 1
	r.thinned[n].Inputs += number - r.next
	r.next, r.lacks = number, true
	*in = event.Input{At: r.last, Tap: event.BenchTap, Kind: event.InputRecordingGap, Data: data}
	return err
}

// Thinned are the segments so far from which inputs were taken away.
func (r *Reader) Thinned() []Thinned { return slices.Clone(r.thinned) }

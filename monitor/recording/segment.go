package recording

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strconv"

	"github.com/klauspost/compress/zstd"

	"benchproof.example/monitor/files"
)

// OpenName is the file of the open segment, the one that is being written, in the folder
// of a session.
const OpenName = "recording.pcapng"

// Segment is a part of a recording, one file. Closed ones lie beside the open one,
// numbered from 1: recording-000001.pcapng as it was written, and
// recording-000001.pcapng.zst in bundles and compressed (RFC 8878).
type Segment struct {
	Number int // from 1; 0: the open one
	Name   string
	Packed bool
}

var closedName = regexp.MustCompile(`^recording-(\d{6,9})\.pcapng(\.zst)?$`)

func closedSegment(number int, packed bool) Segment {
	s := Segment{Number: number, Name: fmt.Sprintf("recording-%06d.pcapng", number), Packed: packed}
	if packed {
		s.Name += ".zst"
	}
	return s
}

// Segments are those of the recording in a folder, in order, the open one last. Where a
// segment lies there in both forms, as a power cut may leave it, it is the one that is
// plain: that was there first, and whole.
func Segments(in files.Folder) (list []Segment, err error) {
	names, err := in.Names()
	if err != nil {
		return nil, fmt.Errorf("list the segments: %w", err)
	}
	open := false
	for _, name := range names {
		found := closedName.FindStringSubmatch(name)
		number := 0
		if found != nil {
			number, _ = strconv.Atoi(found[1])
		}
		switch {
		case name == OpenName:
			open = true
		case number == 0: // no segment
		case len(list) > 0 && list[len(list)-1].Number == number: // packed: the plain one comes before
		default:
			list = append(list, Segment{Number: number, Name: name, Packed: found[2] != ""})
		}
	}
	slices.SortStableFunc(list, func(a, b Segment) int { return a.Number - b.Number })
	if open {
		list = append(list, Segment{Name: OpenName})
	}
	return list, nil
}

// IsClosedName reports whether a file of a session's folder is a closed segment, packed or not.
func IsClosedName(name string) bool { return closedName.MatchString(name) }

// open opens what a segment has, as it was written or bundled.
func (s *Segment) open(in files.Folder) (io.ReadCloser, error) {
	f, err := in.Open(s.Name)
	if err != nil || !s.Packed {
		return f, err
	}
	return unpack(f)
}

// maxWindow is how much memory a packed segment may ask for, bytes.
const maxWindow = 8 << 20

// unpack reads a compressed stream. Where it is hurt, it ends.
func unpack(f io.ReadCloser) (io.ReadCloser, error) {
	z, err := zstd.NewReader(f, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(maxWindow))
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &unpacked{Decoder: z, file: f}, nil
}

type unpacked struct {
	*zstd.Decoder
	file io.Closer
	hurt bool
}

// foundHurt reports, once, that the stream ended where it is hurt.
func (u *unpacked) foundHurt() bool {
	hurt := u.hurt
	u.hurt = false
	return hurt
}

func (u *unpacked) Read(p []byte) (int, error) {
	n, err := u.Decoder.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		u.hurt, err = true, io.EOF
	}
	return n, err
}

func (u *unpacked) Close() error {
	u.Decoder.Close()
	return u.file.Close()
}

// OpenSegments reads a recording in a folder as one, from its first segment on. Close
// closes what is open. fs.ErrNotExist: there is none.
func OpenSegments(in files.Folder) (*SegmentReader, error) {
	list, err := Segments(in)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s has no recording: %w", in.Path(), fs.ErrNotExist)
	}
	s := &SegmentReader{in: in, left: list}
	s.Reader = Reader{more: s.next}
	return s, s.Reader.goOn()
}

// SegmentReader is a Reader of all segments.
type SegmentReader struct {
	Reader
	in     files.Folder
	left   []Segment
	number int // of the latest that was opened
	file   io.Closer
	owns   bool // the folder
}

// Until ends the reading before the input of a number, as if the recording ended there.
func (s *SegmentReader) Until(input int64) { s.until = input }

// next opens the next segment; io.EOF: there is none.
func (s *SegmentReader) next() (source, error) {
	if err := s.closeFile(); err != nil {
		return source{}, err
	}
	if len(s.left) == 0 {
		return source{}, io.EOF
	}
	now := s.left[0]
	s.left = s.left[1:]
	s.number = cmp.Or(now.Number, s.number+1)
	f, now, err := openListed(s.in, now, s.number)
	if err != nil {
		return source{}, err
	}
	s.file = f
	return source{f, now.Name, s.number}, nil
}

// openListed opens a segment of a list that was made before, under the name that it has
// now: the open one may have been closed since, and a plain one packed. number is its own,
// also that of the open one. It says which it opened.
func openListed(in files.Folder, listed Segment, number int) (io.ReadCloser, Segment, error) {
	f, err := listed.open(in)
	plain, packed := closedSegment(number, false), closedSegment(number, true)
	if listed.Number == 0 && (files.Exists(in, plain.Name) || files.Exists(in, packed.Name)) {
		if err == nil { // the name leads to a later one now
			_ = f.Close()
		}
		listed = plain
		f, err = listed.open(in)
	}
	if errors.Is(err, fs.ErrNotExist) && !listed.Packed {
		listed = packed
		f, err = listed.open(in)
	}
	if err != nil {
		return nil, listed, fmt.Errorf("open the segment %s: %w", listed.Name, err)
	}
	return f, listed, nil
}

// ClosesFolder has Close close the folder too.
func (s *SegmentReader) ClosesFolder() { s.owns = true }

// Close closes what is open.
func (s *SegmentReader) Close() error {
	err := s.closeFile()
	if s.owns {
		s.owns = false
		err = errors.Join(err, s.in.Close())
	}
	return err
}

func (s *SegmentReader) closeFile() error {
	if s.file == nil {
		return nil
	}
	err := s.file.Close()
	s.file = nil
	return err
}

// OpenSegment reads one segment by itself.
func OpenSegment(in files.Folder, s Segment) (*SegmentReader, error) {
	f, err := s.open(in)
	if err != nil {
		return nil, fmt.Errorf("open the segment %s: %w", s.Name, err)
	}
	return &SegmentReader{Reader: *NewReader(f), in: in, file: f}, nil
}

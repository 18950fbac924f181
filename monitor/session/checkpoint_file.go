package session

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// checkpointFile keeps the newest few checkpoints, and that with which each segment begins
// until it is packed along with it. Nobody but the journal writer may use it, but for
// ofSegment.
type checkpointFile struct {
	in   files.Folder
	most int // checkpoints that are kept before the file is written anew
	log  *crclog.Log
	kept []keptCheckpoint // as the file has them
}

// keptCheckpoint says where in the file a checkpoint stands. Its text, up to some hundred
// kilobytes, is not held in memory.
type keptCheckpoint struct {
	of         recording.Checkpoint // without the state
	at, length int64                // its line, bytes
	// begins: it is the first behind the beginning of its segment.
	begins bool
}

const (
	newestKept = 3        // checkpoints
	mostKept   = 16       // before the file is written anew
	tailOfFile = 16 << 20 // bytes of it that are looked at, the last ones: builds before kept each
)

// openCheckpoints reads what there is, in bounded time and memory.
func openCheckpoints(in files.Folder, most int) (*checkpointFile, error) {
	c := &checkpointFile{in: in, most: cmp.Or(most, mostKept)}
	others := false
	err := eachCheckpoint(in, func(of recording.Checkpoint, at int64, line []byte) {
		c.keep(of, at, int64(len(line)+1))
	}, func() { others = true })
	if err != nil {
		return nil, err
	}
	if len(c.kept) >= c.most || others {
		return c, c.writeAnew()
	}
	c.log, _, _, err = crclog.OpenLog(in, CheckpointsFile)
	return c, err
}

// eachCheckpoint reads those in the last part of the file, one after another: where each
// stands, and its line without the newline, lent for the call. other is called where a line
// is none.
func eachCheckpoint(in files.Folder, see func(of recording.Checkpoint, at int64, line []byte), other func()) error {
	f, err := in.Open(CheckpointsFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	size, err := f.Size()
	begin := max(0, size-tailOfFile)
	if err == nil {
		_, err = crclog.Scan(io.NewSectionReader(f, begin, tailOfFile), func(offset int64, line []byte, damage error) error {
			of, ok := recording.ParseCheckpoint(line)
			if damage != nil || !ok {
				other()
				return nil
			}
			see(of, begin+offset, line)
			return nil
		})
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("read %s: %w", CheckpointsFile, err)
	}
	return nil
}

// keepOnly lets go of those of another session, and of those that are ahead of what recording and
// timeline have: a power cut or a hand took the ends, and what is written there now is
// something else.
func (c *checkpointFile) keepOnly(session string, inputs, events int64) error {
	all := len(c.kept)
	c.kept = slices.DeleteFunc(c.kept, func(k keptCheckpoint) bool {
		return k.of.Session != session || k.of.Input > inputs || k.of.Journalled > events
	})
	if len(c.kept) == all {
		return nil
	}
	return c.writeAnew()
}

// keep takes a checkpoint, without its state.
func (c *checkpointFile) keep(of recording.Checkpoint, at, length int64) {
	of.Engine, of.Record = nil, nil
	begins := true
	for i := range c.kept {
		begins = begins && c.kept[i].of.Position.Segment != of.Position.Segment
	}
	c.kept = append(c.kept, keptCheckpoint{of, at, length, begins})
}

// shed lets go of all but the newest and those that begin a segment which is not packed.
func (c *checkpointFile) shed(packed func(segment int) bool) {
	old := len(c.kept) - newestKept
	kept := c.kept[:0]
	for i, k := range c.kept {
		if i >= old || k.begins && !packed(k.of.Position.Segment) {
			kept = append(kept, k)
		}
	}
	c.kept = kept
}

// writeAnew writes the file with what is kept, and goes on behind it. What can't be read
// whole any more is not kept: the recording is judged from an earlier one then.
func (c *checkpointFile) writeAnew() error {
	packed, err := packedSegments(c.in)
	if err != nil {
		return err
	}
	c.shed(packed)
	if c.log != nil {
		if err := c.log.Close(); err != nil {
			return err
		}
		c.log = nil
	}
	kept := make([]keptCheckpoint, 0, len(c.kept))
	if err := files.ReplaceBy(c.in, CheckpointsFile, func(to io.Writer) (err error) {
		kept, err = c.copyKept(to, kept)
		return err
	}); err != nil {
		return err
	}
	c.kept = kept
	c.log, _, _, err = crclog.OpenLog(c.in, CheckpointsFile)
	return err
}

// copyKept copies the lines that are kept, and says where each stands in the copy.
func (c *checkpointFile) copyKept(to io.Writer, kept []keptCheckpoint) ([]keptCheckpoint, error) {
	if len(c.kept) == 0 {
		return kept, nil
	}
	from, err := c.in.Open(CheckpointsFile)
	if errors.Is(err, fs.ErrNotExist) {
		return kept, nil
	}
	if err != nil {
		return kept, err
	}
	at := int64(0)
	for _, k := range c.kept {
		line, _, ok := k.read(from)
		if !ok {
			continue
		}
		if _, err := to.Write(line); err != nil {
			return kept, errors.Join(err, from.Close())
		}
		k.at = at
		at += k.length
		kept = append(kept, k)
	}
	return kept, from.Close()
}

// read reads the line; not ok: it is not there any more, or not as it was written.
func (k *keptCheckpoint) read(from io.ReaderAt) (line []byte, is recording.Checkpoint, ok bool) {
	line = make([]byte, k.length)
	if _, err := from.ReadAt(line, k.at); err != nil {
		return nil, is, false
	}
	is, ok = recording.ParseCheckpoint(line)
	return line, is, ok && is.Session == k.of.Session && is.Input == k.of.Input
}

// whole reads a checkpoint with its state; not ok: as with read.
func (k *keptCheckpoint) whole(in files.Folder) (is recording.Checkpoint, ok bool) {
	from, err := in.Open(CheckpointsFile)
	if err != nil {
		return is, false
	}
	_, is, ok = k.read(from)
	return is, from.Close() == nil && ok
}

// forget lets go of all.
func (c *checkpointFile) forget() error {
	c.kept = nil
	return c.writeAnew()
}

// places are those in the journal that are known, in rising order. In a journal that is
// shorter than whole bytes none is to begin at: all of it is read.
func (c *checkpointFile) places(whole int64) (list []timeline.Place) {
	for _, k := range c.kept {
		sum, ok := timeline.ParseSum(k.of.JournalSum)
		if !ok {
			continue
		}
		p := timeline.Place{Seq: k.of.Journalled, Sum: sum}
		if k.of.JournalEnd >= whole {
			p.Offset = k.of.JournalEnd
		}
		list = append(list, p)
	}
	return list
}

// safe is how many bytes of a segment are known to be on the disk: what a checkpoint knows was,
// before it was written.
func (c *checkpointFile) safe(segment int) (bytes int64) {
	for i := range c.kept {
		if at := &c.kept[i].of.Position; at.Segment == segment {
			bytes = max(bytes, at.Offset)
		}
	}
	return bytes
}

// packedSegments says which segments are packed, or gone.
func packedSegments(in files.Folder) (func(int) bool, error) {
	list, err := recording.Segments(in)
	if err != nil {
		return nil, err
	}
	plain, highest := map[int]bool{}, 0
	for _, s := range list {
		plain[s.Number] = !s.Packed
		highest = max(highest, s.Number)
	}
	return func(segment int) bool { return segment <= highest && !plain[segment] }, nil
}

// append keeps one more.
func (c *checkpointFile) append(of *recording.Checkpoint) error {
	line, err := recording.AppendCheckpoint(nil, of)
	if err != nil {
		return err
	}
	if c.log == nil || len(c.kept) >= c.most {
		if err := c.writeAnew(); err != nil {
			return err
		}
	}
	at := c.log.Good()
	if err := c.log.Append(line); err != nil {
		return err
	}
	c.keep(*of, at, int64(len(line)))
	return nil
}

func (c *checkpointFile) close() error {
	if c.log == nil {
		return nil
	}
	return c.log.Close()
}

// firstOf reads from the file the line of the checkpoint with which a segment begins; nil:
// there is none.
func firstOf(in files.Folder, segment int) (first []byte, err error) {
	err = eachCheckpoint(in, func(of recording.Checkpoint, _ int64, line []byte) {
		if first == nil && of.Position.Segment == segment {
			first = append(slices.Clone(line), '\n')
		}
	}, func() {})
	return first, err
}

package recording

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
)

// A closed segment begins with the checkpoint behind its first input, so that it can be
// judged by itself. It stands in packets of the bench with the comment "checkpoint" and
// the number of the next input, which count as no input: a byte that says whether more
// parts follow, then a part of the line that AppendCheckpoint makes.
const checkpointWord = "checkpoint"

const (
	lastPart = 0
	morePart = 1
)

// maxState is how long the line of a checkpoint may be, bytes.
const maxState = 64 << 20

// checkpointParts is a checkpoint as far as it was read.
type checkpointParts struct {
	line  []byte
	whole bool
	count int64 // of whole ones so far
}

// checkpoint takes a part of a checkpoint.
func (r *Reader) checkpoint(p *packet) flaw {
	if r.state.whole {
		r.state = checkpointParts{count: r.state.count}
	}
	if len(p.data) == 0 || p.data[0] > morePart || len(r.state.line)+len(p.data) > maxState {
		return badCheckpoint
	}
	r.state.line = append(r.state.line, p.data[1:]...)
	if r.state.whole = p.data[0] == lastPart; r.state.whole {
		r.state.count++
	}
	return sound
}

// Checkpoints is how many whole ones stood between the inputs so far.
func (r *Reader) Checkpoints() int64 { return r.state.count }

// Checkpoint is the latest that stood between the inputs; false: none did.
func (r *Reader) Checkpoint() (Checkpoint, bool) {
	if !r.state.whole {
		return Checkpoint{}, false
	}
	return ParseCheckpoint(r.state.line)
}

// WriteCheckpoint renders the line of a checkpoint, newline left out.
func (w *Writer) WriteCheckpoint(line []byte) {
	stamp := w.section.Base + int64(w.last)
	parts := slices.Collect(slices.Chunk(line, MaxData-1))
	for i, part := range parts {
		more := byte(morePart)
		if i == len(parts)-1 {
			more = lastPart
		}
		w.packet(event.BenchTap, eventStatus, w.next, stamp, fmt.Sprintf("%s: part %d of %d", checkpointWord, i+1, len(parts)), append([]byte{more}, part...))
	}
}

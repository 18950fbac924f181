package recording

import (
	"encoding/json"
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
)

// MaxDamages is how many damages a Reader lists; it counts all.
const MaxDamages = 100

// Damage is a place in the middle of a recording where something could not be
// believed.
type Damage struct {
	File   string `json:"file,omitempty"` // of a recording in several
	Offset int64  `json:"offset"`         // where it begins, bytes; of a packed file, of what was unpacked
	Why    string `json:"why"`
}

func (d Damage) String() string {
	if d.File == "" {
		return fmt.Sprintf("at byte %d: %s", d.Offset, d.Why)
	}
	return fmt.Sprintf("in %s at byte %d: %s", d.File, d.Offset, d.Why)
}

// run is a stretch of damage: from the first block that was not believed to the
// next packet that is.
type run struct {
	open    bool
	file    string
	segment int
	at      int64
	why     flaw
}

// lose opens a run of damage, unless one is open.
func (r *Reader) lose(why flaw) {
	r.section.hurt = true
	if !r.run.open {
		r.run = run{open: true, file: r.name, segment: r.segment, at: r.win.offset, why: why}
	}
}

// note lists the run of damage and closes it.
func (r *Reader) note() {
	r.count++
	if len(r.damages) < MaxDamages {
		r.damages = append(r.damages, Damage{File: r.run.file, Offset: r.run.at, Why: r.run.why.String()})
	}
	r.run.open = false
}

// gap gives the input that stands for those up to the number next.
func (r *Reader) gap(in *event.Input, next int64) {
	where := "recording"
	if r.run.segment > 1 { // by number: names change when a segment is closed, and events must not
		where = fmt.Sprintf("segment %d of the recording", r.run.segment)
	}
	why := fmt.Sprintf("%s damaged at byte %d: %v", where, r.run.at, r.run.why)
	r.note()
	data, err := json.Marshal(event.RecordingGapInput{Ended: true, Why: why, Inputs: next - r.next})
	r.err = err
	r.next, r.lacks = next, true
	*in = event.Input{At: r.last, Tap: event.BenchTap, Kind: event.InputRecordingGap, Data: data}
}

// runIsTail reports whether the damage at the end is what a writer that was cut off leaves.
func (r *Reader) runIsTail() bool {
	return r.run.file == r.name && r.run.at >= r.whole && r.run.why != badPacking
}

// Damages lists the first MaxDamages damages so far, in file order.
func (r *Reader) Damages() []Damage { return slices.Clone(r.damages) }

// DamageCount is how many damages there were so far.
func (r *Reader) DamageCount() int64 { return r.count }

package runner

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// leastLacking is how much of a time without frames those that were read late behind it leave unfilled where
// the bus was silent besides.
const leastLacking = unit.Second

// walkHole is a time without frames. The first frames behind it may turn out to have lain waiting while the
// computer stood still; then the bus was not silent, and what came has no dates to count by.
//
//	wire     . . . . . . . . . . . . . . . . . .
//	read     . . . . .            |||||||||. . .
//	counted  =========|- no frames -|   taken back once the frames behind it are late
type walkHole struct {
	Open   bool          `json:"open"`
	Linked bool          `json:"linked"` // there was a link before it
	None   unit.Duration `json:"none"`   // without a frame at this mark before it,
	Lasted unit.Duration `json:"lasted"` // and in it
}

// none takes a time without frames that ends with this one.
func (w *Walk) none(wire unit.Time) {
	w.Hole = walkHole{Open: true, Linked: w.Linked, None: w.Here.NoneNS}
	if w.Stands && w.Wire != 0 {
		w.Hole.Lasted = max(0, wire.Sub(max(w.Wire, w.From)))
		w.Here.NoneNS += w.Hole.Lasted
	}
}

// readLate takes a frame that was read late.
func (w *Walk) readLate(o *event.Observation) {
	w.Wire, w.Plain, w.Run, w.Block = o.Wire, 0, 0, 0
	if !w.Hole.Open {
		return
	}
	lacking := o.Pace.Lacking
	if lacking < leastLacking {
		w.Linked, lacking = w.Linked || w.Hole.Linked, 0
	}
	w.Here.NoneNS = w.Hole.None + min(w.Hole.Lasted, lacking)
}

package port

import (
	"context"
	"encoding/binary"
	"time"

	"benchproof.example/monitor/event"
)

// Beat puts a beat each second, so that a session killed on a silent line
// replays its silence too. each is called with every beat.
func Beat(ctx context.Context, s *Sequencer, each func()) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C: // which may have lain here: its own time is old after a stall
			s.Beat(time.Now())
			each()
		}
	}
}

// Beat puts a beat at the time of a wall clock.
func (s *Sequencer) Beat(wall time.Time) {
	s.Put(event.BenchTap, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(wall.UnixNano())))
}

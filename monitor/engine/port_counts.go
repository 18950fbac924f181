package engine

import (
	"encoding/json"
	"strconv"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// PortCounts is what became of a tap's port, and counts what came through it.
type PortCounts struct {
	Up   bool
	Port event.Port // as last opened
	Why  string     // why it is not up
	state.PortTally
}

// port takes what becomes of the port.
func (t *PortCounts) port(in *event.Input) {
	switch in.Kind {
	case event.InputTapUp:
		t.Up, t.Why, t.Port = true, "", event.Port{}
		t.Ups++
		_ = json.Unmarshal(in.Data, &t.Port) // what it can't say stays empty
	case event.InputTapDown:
		t.Up, t.Why = false, string(in.Data)
	case event.InputResume:
		t.Up, t.Why = false, ""
	case event.InputOverrun:
		n, _ := strconv.ParseInt(string(in.Data), 10, 64)
		t.LostChars += n
	}
}

// characters takes what was read.
func (t *PortCounts) characters(in *event.Input) {
	t.Bytes += int64(len(in.Data))
	if in.Kind == event.InputBadBytes {
		t.BadChars += int64(len(in.Data))
	}
}

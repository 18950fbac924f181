package monitor

import (
	"encoding/json"
	"strconv"

	"benchproof.example/monitor/fact"
)

// PortCounts counts what became of a tap's port and what came through it.
type PortCounts struct {
	Up   bool
	Port fact.Port // as last opened
	Why  string    // why it is not up
	Ups  int64
	Gone int64 // characters that the port lost

	Bytes    int64
	BadChars int64
}

// port takes what becomes of the port.
func (t *PortCounts) port(in *fact.Input) {
	switch in.Kind {
	case fact.TapUp:
		t.Up, t.Why, t.Port = true, "", fact.Port{}
		t.Ups++
		_ = json.Unmarshal(in.Data, &t.Port) // what it can't say stays empty
	case fact.TapDown:
		t.Up, t.Why = false, string(in.Data)
	case fact.Resume:
		t.Up, t.Why = false, ""
	case fact.Overrun:
		n, _ := strconv.ParseInt(string(in.Data), 10, 64)
		t.Gone += n
	}
}

// characters takes what was read.
func (t *PortCounts) characters(in *fact.Input) {
	t.Bytes += int64(len(in.Data))
	if in.Kind == fact.BadByte {
		t.BadChars += int64(len(in.Data))
	}
}

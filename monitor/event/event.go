package event

import "benchproof.example/monitor/unit"

// Event is one dated fact. The ordered events of a session are its timeline.
type Event struct {
	Seq   int64     // from 1, without holes
	At    unit.Time // when it became a fact; never decreasing
	From  unit.Time // its onset, at or before At
	Kind  string    // one of the table of kinds
	About string    // what it is about: "tap:main", "switch:inner", "stabiliser", "session", ...
	Data  any       // the struct that the table names beside the kind; nil for none
}

// Emit hands an event to the engine, which numbers and dates it.
type Emit func(kind string, from unit.Time, about string, data any)

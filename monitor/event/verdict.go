package event

import "benchproof.example/monitor/unit"

// How the verdicts of claims are written.
const (
	VerdictOpen  = "open"
	VerdictRight = "seen right"
	VerdictWrong = "seen wrong"
	VerdictStale = "stale"
)

// VerdictData belongs to verdict.changed.
type VerdictData struct {
	Verdict  string           `json:"verdict"` // open, seen right, seen wrong, stale
	Was      string           `json:"was"`
	Sentence string           `json:"sentence"`
	Evidence []Span           `json:"evidence"`
	Figures  map[string]int64 `json:"figures"`
}

// Span is a stretch of bench time.
type Span struct {
	From unit.Time `json:"from_ns"`
	To   unit.Time `json:"to_ns"`
}

package event

// How the verdicts of claims are written.
const (
	VerdictOpen  = "open"
	VerdictRight = "seen right"
	VerdictWrong = "seen wrong"
	VerdictStale = "stale"
)

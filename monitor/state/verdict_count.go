package state

import "benchproof.example/monitor/event"

// VerdictCount counts claims by verdict.
type VerdictCount struct {
	Right int `json:"seen_right"`
	Wrong int `json:"seen_wrong"`
	Open  int `json:"open"`
	Stale int `json:"stale"`

	// OpenLookedAt is how many of those open were looked at, but not settled; the others
	// were not looked at. Whoever has the sentences counts them.
	OpenLookedAt int `json:"open_looked_at"`
}

// Add counts one claim.
func (c *VerdictCount) Add(verdict string) {
	switch verdict {
	case event.VerdictRight:
		c.Right++
	case event.VerdictWrong:
		c.Wrong++
	case event.VerdictStale:
		c.Stale++
	default:
		c.Open++
	}
}

// All is the number of claims.
func (c VerdictCount) All() int { return c.Right + c.Wrong + c.Open + c.Stale }

// VerdictCount counts the claims.
func (s *State) VerdictCount() (c VerdictCount) {
	for i := range s.Claims {
		c.Add(s.Claims[i].Verdict)
	}
	return c
}

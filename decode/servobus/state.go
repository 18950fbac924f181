package servobus

import (
	"encoding/json"
	"fmt"

	"benchproof.example/decode/bus"
)

// state is a Framer as it stands between two calls, for checkpoints.
type state struct {
	Account bus.Account `json:"account"`
	Locked  bool        `json:"locked"`
	Slips   int         `json:"slips"`
	Last    [4]int64    `json:"last"` // start, stride, flags, footer
	Base    int64       `json:"base"`
	Held    []byte      `json:"held"`
	Dates   []int64     `json:"dates"`
	Bad     []int       `json:"bad"` // indices of the held bytes marked bad
}

// MarshalJSON keeps all that decides what the framer emits next.
func (f *Framer) MarshalJSON() ([]byte, error) {
	h := &f.held
	from, to := h.head, h.head+h.n
	s := state{
		Account: f.acct, Locked: f.locked, Slips: f.slips,
		Last: [4]int64{f.last.start, f.last.stride, int64(f.last.flags), int64(f.last.footer)},
		Base: h.base, Held: h.buf[from:to], Dates: h.at[from:to], Bad: []int{},
	}
	for i, bad := range h.bad[from:to] {
		if bad {
			s.Bad = append(s.Bad, i)
		}
	}
	return json.Marshal(s)
}

// UnmarshalJSON puts the framer back to where MarshalJSON found it.
func (f *Framer) UnmarshalJSON(b []byte) error {
	var s state
	if err := json.Unmarshal(b, &s); err != nil {
		return fmt.Errorf("state of a framer: %w", err)
	}
	if len(s.Held) > reach || len(s.Dates) != len(s.Held) {
		return fmt.Errorf("state of a framer: got %d held bytes with %d dates, want at most %d and as many", len(s.Held), len(s.Dates), reach)
	}
	*f = Framer{acct: s.Account, locked: s.Locked, slips: s.Slips}
	f.last = lastFrame{start: s.Last[0], stride: s.Last[1], flags: byte(s.Last[2]), footer: byte(s.Last[3])}
	f.held.base, f.held.n = s.Base, len(s.Held)
	copy(f.held.buf[:], s.Held)
	copy(f.held.at[:], s.Dates)
	for _, i := range s.Bad {
		if i < 0 || i >= len(s.Held) {
			return fmt.Errorf("state of a framer: got a bad mark at %d, want one below %d", i, len(s.Held))
		}
		f.held.bad[i] = true
	}
	return nil
}

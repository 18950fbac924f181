package bustest

import (
	"encoding/binary"
	"encoding/json"
	"fmt"

	"benchproof.example/decode/bus"
)

// twelveFramer holds as many bytes as a frame has and looks at them each time it has
// them all: they are a frame, or the first is none's beginning. The checksum bears a
// frame out, so it waits for no other. It is locked while frame follows frame.
type twelveFramer struct {
	acct   bus.Account
	buf    [twelveLen]byte
	marked [twelveLen]bool // bad
	n      int
	locked bool
	found  bus.Found
}

func (f *twelveFramer) Account() bus.Account { return f.acct }
func (f *twelveFramer) RefusedBytes() int64  { return f.acct.Refused.Total() }
func (f *twelveFramer) Pending() int         { return f.n }
func (f *twelveFramer) Locked() bool         { return f.locked }

func (f *twelveFramer) Feed(p []byte, at int64, bad bool, emit func(*bus.Found)) {
	for _, b := range p {
		f.acct.In++
		f.buf[f.n], f.marked[f.n] = b, bad
		if f.n++; f.n < twelveLen {
			continue
		}
		if why, ok := f.look(); !ok {
			f.refuse(why)
			continue
		}
		f.give(at, emit)
	}
}

func (f *twelveFramer) Reset() {
	f.acct.Refused[bus.CutOff] += int64(f.n)
	f.n, f.locked = 0, false
}

func (f *twelveFramer) look() (why bus.Reason, ok bool) {
	if binary.LittleEndian.Uint16(f.buf[:]) != twelveHeader {
		return bus.NoHeader, false
	}
	return bus.BadSum, binary.LittleEndian.Uint16(f.buf[twelveLen-2:]) == twelveSum(f.buf[:])
}

func (f *twelveFramer) refuse(why bus.Reason) {
	f.acct.Refused[why]++
	copy(f.buf[:], f.buf[1:])
	copy(f.marked[:], f.marked[1:])
	f.n--
	f.locked = false
}

func (f *twelveFramer) give(at int64, emit func(*bus.Found)) {
	bad := false
	for _, m := range f.marked {
		bad = bad || m
	}
	if !f.locked {
		f.acct.Locks++
	}
	f.acct.Frames++
	f.n, f.locked = 0, true
	f.found = bus.Found{Raw: f.buf[:], Offset: f.acct.In - twelveLen, At: at, Bad: bad}
	emit(&f.found)
}

// twelveState is a framer as it stands between two calls.
type twelveState struct {
	Account bus.Account
	Held    []byte
	Bad     []bool
	Locked  bool
}

func (f *twelveFramer) MarshalJSON() ([]byte, error) {
	return json.Marshal(twelveState{f.acct, f.buf[:f.n], f.marked[:f.n], f.locked})
}

func (f *twelveFramer) UnmarshalJSON(b []byte) error {
	var s twelveState
	if err := json.Unmarshal(b, &s); err != nil {
		return fmt.Errorf("state of a framer: %w", err)
	}
	if len(s.Held) >= twelveLen || len(s.Bad) != len(s.Held) {
		return fmt.Errorf("state of a framer: got %d held bytes with %d marks, want fewer than %d and as many", len(s.Held), len(s.Bad), twelveLen)
	}
	*f = twelveFramer{acct: s.Account, n: len(s.Held), locked: s.Locked}
	copy(f.buf[:], s.Held)
	copy(f.marked[:], s.Bad)
	return nil
}

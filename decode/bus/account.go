package bus

import (
	"encoding/json"
	"fmt"
)

// Account is where every byte went: In = FrameLen·Frames + refused + pending.
type Account struct {
	In       int64   // bytes fed
	Frames   int64   // frames found
	Refused  Refused // bytes, by reason
	OddFlags int64   // frames with a bit that has no common meaning; they are frames all the same
	Locks    int64   // how often the framer locked
}

// Refused counts refused bytes by reason.
type Refused [Reasons]int64

// Total is the number of bytes refused for any reason.
func (r *Refused) Total() (n int64) {
	for _, v := range r {
		n += v
	}
	return n
}

// shownReasons is how many reasons are always written; those behind them where one of
// them is not 0. So the state of a framer is written as it was before there were more.
const shownReasons = 4

// MarshalJSON writes a list.
func (r Refused) MarshalJSON() ([]byte, error) {
	n := Reasons
	for n > shownReasons && r[n-1] == 0 {
		n--
	}
	return json.Marshal(r[:n])
}

// UnmarshalJSON reads what MarshalJSON wrote; reasons that are lacking at the end are 0.
func (r *Refused) UnmarshalJSON(b []byte) error {
	var list []int64
	if err := json.Unmarshal(b, &list); err != nil {
		return fmt.Errorf("refused bytes by reason: %w", err)
	}
	if len(list) > Reasons {
		return fmt.Errorf("refused bytes by reason: got %d reasons, want at most %d", len(list), Reasons)
	}
	*r = Refused{}
	copy(r[:], list)
	return nil
}

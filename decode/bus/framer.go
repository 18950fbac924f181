package bus

import "encoding/json"

// Found is a frame that a framer believes, raw. It is lent for the call.
type Found struct {
	Raw    []byte // Protocol.FrameLen bytes
	Offset int64  // of the first byte, from the start of the stream
	At     int64  // date that the last byte was fed with
	Bad    bool   // a character was marked bad
}

// Framer finds the frames of one protocol in a stream of bytes, in whatever pieces
// they come: what it emits, and at which byte, depends on bytes, dates and marks
// alone. It allocates nothing, neither for a frame nor for a byte that it refuses.
//
// Its JSON is all that decides what it does next. A framer that was made of it goes on
// as if nothing had happened, and writes the same bytes again.
type Framer interface {
	// Feed takes the next piece of the stream, all of it dated at (ns of any clock that
	// does not run backwards) and marked bad or not, and emits the frames that it
	// completes or bears out.
	Feed(p []byte, at int64, bad bool, emit func(*Found))
	// Reset says that the stream was interrupted: it forgets the rhythm, and what is
	// pending is refused as CutOff.
	Reset()
	// Account reports where every byte fed went.
	Account() Account
	// RefusedBytes is how many Account has refused in all, cheaply: it is asked for at
	// each frame.
	RefusedBytes() int64
	// Pending is the number of bytes that wait for a decision.
	Pending() int
	// Locked reports whether the stream's rhythm is known.
	Locked() bool

	json.Marshaler
	json.Unmarshaler
}

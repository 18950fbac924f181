package servobus

// held are the bytes that no decision has been made about: at most reach, the
// farthest that hunting looks back.
type held struct {
	base int64 // offset of the first held byte in the stream
	head int   // index of the first held byte below
	n    int
	buf  [2 * reach]byte
	at   [2 * reach]int64
	bad  [2 * reach]bool
}

// add appends bytes; there must be room up to reach.
func (h *held) add(p []byte, at int64, bad bool) {
	if h.head+h.n+len(p) > len(h.buf) {
		copy(h.buf[:], h.buf[h.head:h.head+h.n])
		copy(h.at[:], h.at[h.head:h.head+h.n])
		copy(h.bad[:], h.bad[h.head:h.head+h.n])
		h.head = 0
	}
	from := h.head + h.n
	copy(h.buf[from:], p)
	for i := range p {
		h.at[from+i], h.bad[from+i] = at, bad
	}
	h.n += len(p)
}

func (h *held) drop(n int) {
	h.base += int64(n)
	h.head += n
	h.n -= n
	if h.n == 0 {
		h.head = 0
	}
}

func (h *held) byte(i int) byte     { return h.buf[h.head+i] }
func (h *held) date(i int) int64    { return h.at[h.head+i] }
func (h *held) fresh(i int) bool    { return i == 0 || h.date(i) != h.date(i-1) }
func (h *held) complete(i int) bool { return i >= 0 && i+FrameLen <= h.n }

// frame is the first 25 held bytes in place; they stay there until more are added.
func (h *held) frame() *[FrameLen]byte {
	return (*[FrameLen]byte)(h.buf[h.head : h.head+FrameLen])
}

func (h *held) anyBad(n int) bool {
	for _, b := range h.bad[h.head : h.head+n] {
		if b {
			return true
		}
	}
	return false
}

// envelope reports whether the 25 bytes from i on are held, begin and end like
// a frame.
func (h *held) envelope(i int) bool {
	return h.complete(i) && h.byte(i) == header && isFooter(h.byte(i+FrameLen-1))
}

// follow reports whether the footers at i and j can follow each other.
func (h *held) follow(i, j int) bool {
	return follow(h.byte(i+FrameLen-1), h.byte(j+FrameLen-1))
}

// agree reports whether the frames at i and j can follow each other where others
// talk in between: their flag bits without meaning must be the same, too.
func (h *held) agree(i, j int) bool {
	return agree(h.byte(i+FrameLen-2), h.byte(i+FrameLen-1), h.byte(j+FrameLen-2), h.byte(j+FrameLen-1))
}

package linefault

import "slices"

// A feature is a property of what was heard, in one of sixteen classes.
const (
	features = 18
	classes  = 16
)

// featuresOf are those of what was heard in a time, ns.
func (h *Heard) featuresOf(span int64) (f [features]uint8) {
	n := h.Chars
	lag, alike := h.repeats()
	return [features]uint8{
		share(h.Marked, n),
		share(h.count(0x00), n),
		share(h.count(0xFF), n),
		share(h.count(0xFE), n),
		share(h.count(0x80, 0xC0, 0xE0, 0xF0, 0xF8, 0xFC), n),
		share(h.printable(), n),
		share(h.withBit(7), n),
		share(h.withBit(0), n),
		class(10*h.Turns/max(n, 1), 0, 5, 8, 12, 16, 20, 24, 28, 31, 34, 37, 40, 45, 50, 60),
		class(h.distinct(), 1, 2, 3, 5, 8, 12, 16, 20, 25, 30, 40, 60, 90, 140, 200),
		share(int64(slices.Max(h.Values[:])), n),
		class(n*1_000_000_000/max(span, 1), 10, 20, 40, 60, 80, 110, 160, 300, 600, 1000, 1500, 2200, 3000, 3800, 5500),
		class(10*n/max(h.Bursts, 1), 10, 12, 15, 25, 50, 100, 180, 235, 246, 255, 265, 285, 330, 380, 600),
		class(h.GapSum/max(h.Bursts-1, 1)/100_000, 0, 30, 50, 65, 75, 85, 95, 115, 135, 150, 163, 172, 195, 215, 400),
		share(h.regular(), max(h.Bursts-1, 1)),
		share(alike, n),
		class(lag, 1, 4, 10, 18, 22, 23, 24, 25, 26, 27, 30, 34, 40, 50, 55),
		share(h.Framed, n),
	}
}

// class is the place of a number among bounds, each the most that its class has.
func class(n int64, bounds ...int64) uint8 {
	for i, most := range bounds {
		if n <= most {
			return uint8(i)
		}
	}
	return uint8(len(bounds))
}

// share is the class of a part of all; none and all are classes of their own.
func share(part, all int64) uint8 {
	if part == all && all > 0 {
		return classes - 1
	}
	return class(1000*part/max(all, 1), 0, 8, 20, 35, 50, 75, 110, 160, 230, 320, 430, 560, 700, 850)
}

func (h *Heard) count(values ...byte) (n int64) {
	for _, v := range values {
		n += int64(h.Values[v])
	}
	return n
}

// printable counts characters of a text.
func (h *Heard) printable() int64 {
	n := h.count('\r', '\n', '\t')
	for v := byte(' '); v <= '~'; v++ {
		n += int64(h.Values[v])
	}
	return n
}

func (h *Heard) withBit(bit int) (n int64) {
	for v := range h.Values {
		if v>>bit&1 != 0 {
			n += int64(h.Values[v])
		}
	}
	return n
}

func (h *Heard) distinct() (n int64) {
	for _, count := range h.Values {
		if count > 0 {
			n++
		}
	}
	return n
}

// repeats is after how many characters most come again, and how many: what comes again after
// some does so after twice as many, too, so more must be clearly more.
func (h *Heard) repeats() (lag, alike int64) {
	for l := 4; l < lags; l++ {
		if n := int64(h.Alike[l]); 10*n > 11*alike {
			lag, alike = int64(l), n
		}
	}
	return lag, alike
}

// regular is how many bursts came after the usual time, within a millisecond or so.
func (h *Heard) regular() (most int64) {
	for i := range gaps - 2 {
		most = max(most, int64(h.Gaps[i])+int64(h.Gaps[i+1])+int64(h.Gaps[i+2]))
	}
	return most
}

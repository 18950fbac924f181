// Package median takes out what a few frames have alone. The bus has no checksum
// and receivers repeat a wrong value for two or three frames, so what fewer than
// MinFrames of Window frames in a row have settles nothing. The middle one of Window
// values has at least MinFrames of them on its side; a steady movement passes unchanged.
//
//	frames   988  988  988 2012 2012 2012  988  988  988
//	middle                  988  988  988
package median

// How many frames a middle value takes.
const (
	Window    = 7                  // frames that are looked at together
	MinFrames = (Window + 1) / 2   // equal frames that it takes, four: fewer settle nothing
	Behind    = Window - MinFrames // how many frames a middle value comes late
)

// Of is the middle one of up to Window values, of an even number the lower one. It
// leaves values as they are.
func Of[T ~int64 | uint32](values []T) T {
	var v [Window]T
	n := copy(v[:], values)
	if n < Window {
		fill(v[:], n)
	}
	// Two by two they are put in order, and those that can't be the middle one are dropped. Which
	// way a pair goes is not asked: of values that tremble a processor guesses wrong half of the time.
	a, b, c, d, e, f, g := v[0], v[1], v[2], v[3], v[4], v[5], v[6]
	a, f = min(a, f), max(a, f)
	a, d = min(a, d), max(a, d)
	b, g = min(b, g), max(b, g)
	c, e = min(c, e), max(c, e)
	b = max(a, b)
	d, f = min(d, f), max(d, f)
	c, g = min(c, g), max(c, g)
	d = min(max(c, d), g)
	e = min(e, f)
	b, e = min(b, e), max(b, e)
	return min(max(b, d), e)
}

// fill puts values behind the first n that leave the middle one of those in the middle: the
// least and the most of them in turn.
func fill[T ~int64 | uint32](v []T, n int) {
	least, most := v[0], v[0]
	for _, x := range v[:n] {
		least, most = min(least, x), max(most, x)
	}
	for i := n; i < len(v); i += 2 {
		v[i] = least
	}
	for i := n + 1; i < len(v); i += 2 {
		v[i] = most
	}
}

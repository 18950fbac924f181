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
	for _, p := range pairs {
		a, b := v[p[0]], v[p[1]]
		v[p[0]], v[p[1]] = min(a, b), max(a, b)
	}
	return v[Behind]
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

// pairs are those of Window places that are put in order, one after the other, until the
// middle one is at its place. Which way a pair goes is not asked, since a processor guesses
// wrong half of the time.
var pairs = [...][2]uint8{{0, 5}, {0, 3}, {1, 6}, {2, 4}, {0, 1}, {3, 5}, {2, 6}, {2, 3}, {3, 6}, {4, 5}, {1, 4}, {1, 3}, {3, 4}}

// Package median takes out what a few frames have alone. The bus has no checksum
// and receivers repeat a wrong value for two or three frames, so what fewer than
// MinFrames of Window frames in a row have settles nothing. The middle one of Window
// values has at least MinFrames of them on its side; a steady movement passes unchanged.
//
//	frames   988  988  988 2012 2012 2012  988  988  988
//	middle                  988  988  988
package median

import "slices"

// How many frames a middle value takes.
const (
	Window    = 7                  // frames that are looked at together
	MinFrames = (Window + 1) / 2   // equal frames that it takes, four: fewer settle nothing
	Behind    = Window - MinFrames // how many frames a middle value comes late
)

// Of is the middle one of up to Window values, of an even number the lower one. It
// leaves values as they are.
func Of[T ~int64 | uint32](values []T) T {
	var sorted [Window]T
	n := copy(sorted[:], values)
	slices.Sort(sorted[:n])
	return sorted[(n-1)/2]
}

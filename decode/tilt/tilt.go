// Package tilt turns the sentences of a phone that lies on a model, or of a board with an
// inertial sensor, into attitudes.
//
// Axes are those of the phone as W3C's Device Orientation text has them (from memory): x to
// the right of the screen, y to its top, z out of it towards who looks; positive turns are
// right-handed. The earth's z points up.
//
//	    y (top edge)
//	    ^
//	.---+---.
//	|       |
//	|   z   +--> x        z: out of the screen
//	|       |
//	'-------'
package tilt

// Scale is what a component of a quaternion is in parts of.
const Scale = 1 << 15

// Attitude is how the phone lay at one moment. It is lent for the call.
type Attitude struct {
	Sender uint16   // which phone, by a number that its page draws
	Epoch  int      // how often the phone's clock began anew
	Time   int64    // of the phone's own clock since then, ns
	Turn   [4]int32 // w, x, y, z in parts of Scale: takes the phone's axes to the earth's
	Gyro   bool     // it has a gyroscope; without one Rate says nothing
	Rate   [3]int32 // rates of turn about x, y, z, hundredths of a degree a second
	Screen int      // by how much the picture on the screen is turned, degrees: 0, 90, 180, 270
}

// Vertical is how long Up is.
const Vertical = 1_000_000

// Up is the direction of the earth's vertical in the phone's axes, as long as Vertical: what
// gravity tells, whatever the heading.
func (a *Attitude) Up() [3]int64 {
	w, x, y, z := int64(a.Turn[0]), int64(a.Turn[1]), int64(a.Turn[2]), int64(a.Turn[3])
	norm := w*w + x*x + y*y + z*z
	if norm == 0 {
		return [3]int64{}
	}
	return [3]int64{
		divide(2*Vertical*(x*z-w*y), norm),
		divide(2*Vertical*(y*z+w*x), norm),
		divide(Vertical*(w*w-x*x-y*y+z*z), norm),
	}
}

// divide rounds to the nearest.
func divide(a, b int64) int64 {
	if a < 0 {
		return -((-a + b/2) / b)
	}
	return (a + b/2) / b
}

// Status is what a phone says of itself.
type Status struct {
	Sender uint16
	Name   string // letters, digits and hyphens
	Screen int    // degrees
	Hidden bool   // its page is about to be hidden, or its screen to go dark
}

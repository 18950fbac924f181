package tilt

import "math"

// Quaternion is a turn as w, x, y, z. It is for who sends attitudes and for tests: nothing
// is judged by it.
type Quaternion [4]float64

// About is a turn about an axis, which need not be one long, by an angle in degrees.
func About(x, y, z, degrees float64) Quaternion {
	long := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	half := float64(degrees * (math.Pi / 360))
	s := math.Sin(half) / long
	return Quaternion{math.Cos(half), float64(x * s), float64(y * s), float64(z * s)}
}

// Then is q and then r, each about axes that turn along.
func (q Quaternion) Then(r Quaternion) Quaternion {
	return Quaternion{
		float64(q[0]*r[0]) - float64(q[1]*r[1]) - float64(q[2]*r[2]) - float64(q[3]*r[3]),
		float64(q[0]*r[1]) + float64(q[1]*r[0]) + float64(q[2]*r[3]) - float64(q[3]*r[2]),
		float64(q[0]*r[2]) - float64(q[1]*r[3]) + float64(q[2]*r[0]) + float64(q[3]*r[1]),
		float64(q[0]*r[3]) + float64(q[1]*r[2]) - float64(q[2]*r[1]) + float64(q[3]*r[0]),
	}
}

// Inverse turns back.
func (q Quaternion) Inverse() Quaternion { return Quaternion{q[0], -q[1], -q[2], -q[3]} }

// FromAngles is the attitude of a device by the angles of W3C's Device Orientation text, degrees:
// alpha about z, then beta about the x that turned along, then gamma about the y that did (Z-X'-Y”).
func FromAngles(alpha, beta, gamma float64) Quaternion {
	return About(0, 0, 1, alpha).Then(About(1, 0, 0, beta)).Then(About(0, 1, 0, gamma))
}

// Counts are its components in parts of Scale.
func (q Quaternion) Counts() (counts [4]int32) {
	for i, v := range q {
		counts[i] = int32(math.Round(float64(v * Scale)))
	}
	return counts
}

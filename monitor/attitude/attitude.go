// Package attitude makes rests and turns of a model out of how a phone lies on it: where it
// was held still, and by how much and about which axis it was turned from one rest to the
// next. Integers decide: angles are hundredths of a degree ("cdeg"), directions whole numbers.
//
// Axes of the model are those of ISO 1151-1 (from memory): x forward, y to the right, z down.
// So pitch is positive with the nose raised, roll with the left wing raised, yaw with the nose
// turned to the right.
package attitude

// Vector is a direction, or a turn about it.
type Vector [3]int64

// cross is perpendicular to both; dot is the part of one along the other.
func (a Vector) cross(b Vector) Vector {
	return Vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a Vector) dot(b Vector) int64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// long is its length, components up to 2^30.
func (a Vector) long() int64 { return root(a.dot(a)) }

// over divides each component.
func (a Vector) over(n int64) Vector { return Vector{a[0] / n, a[1] / n, a[2] / n} }

// Between is the angle from one direction to another, both about Vertical long, cdeg.
func Between(a, b Vector) int64 {
	return Angle(a.cross(b).over(scale).long(), a.dot(b)/scale)
}

// scale keeps products of two directions as large as a direction.
const scale = 1_000_000

// root is the whole square root.
func root(n int64) int64 {
	if n <= 0 {
		return 0
	}
	x := int64(1) << 31
	for {
		y := (x + n/x) / 2
		if y >= x {
			return x
		}
		x = y
	}
}

// arcs are the angles whose tangents are 1, 1/2, 1/4 ..., millionths of a degree.
var arcs = [...]int64{
	45_000_000, 26_565_051, 14_036_243, 7_125_016, 3_576_334, 1_789_911, 895_174, 447_614, 223_811, 111_906, 55_953, 27_976,
	13_988, 6_994, 3_497, 1_749, 874, 437, 219, 109, 55, 27, 14, 7,
}

// Angle is that of the direction (x, y) from the x axis, cdeg, above -18000 and up to 18000: the same
// on every machine (CORDIC: turns by ever smaller arcs until y is nothing).
func Angle(y, x int64) int64 {
	if x == 0 && y == 0 {
		return 0
	}
	for max(x, -x, y, -y) < 1<<40 { // so that no shift loses what counts
		x, y = 2*x, 2*y
	}
	sum := int64(0)
	switch {
	case x < 0 && y >= 0:
		x, y, sum = y, -x, 90_000_000
	case x < 0:
		x, y, sum = -y, x, -90_000_000
	}
	for i, arc := range arcs {
		if y >= 0 {
			x, y, sum = x+y>>i, y-x>>i, sum+arc
		} else {
			x, y, sum = x-y>>i, y+x>>i, sum-arc
		}
	}
	return rounded(sum, 10_000)
}

// rounded divides and rounds to the nearest.
func rounded(a, b int64) int64 {
	if a < 0 {
		return -((-a + b/2) / b)
	}
	return (a + b/2) / b
}

package world

// Axis is one that a model turns about.
type Axis int

// The axes.
const (
	Roll  Axis = iota // positive: left wing up
	Pitch             // positive: tail up
	Yaw               // positive: nose left
	Axes
)

func (a Axis) String() string { return []string{Roll: "roll", Pitch: "pitch", Yaw: "yaw"}[a] }

// End is the end of the stick that moves the surfaces as a right stabiliser does
// when the axis turns the positive way (common practice).
func (a Axis) End() string { return []string{Roll: "left", Pitch: "back", Yaw: "right"}[a] }

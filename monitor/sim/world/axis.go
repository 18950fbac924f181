package world

// axis is one that a model turns about.
type axis int

const (
	roll  axis = iota // positive: left wing up
	pitch             // positive: tail up
	yaw               // positive: nose left
	axes
)

var axisWords = []string{roll: "roll", pitch: "pitch", yaw: "yaw"}

// endWords name the end of the stick that moves the surfaces as a right
// stabiliser does when the axis turns the positive way (common practice).
var endWords = []string{roll: "left", pitch: "back", yaw: "right"}

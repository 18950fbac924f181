package page

// What stands in every report, whatever a session showed.

const (
	notSafe = "A bench report is evidence, never a clearance to fly."

	// minimum is said from memory: the wording may be another, and the edition may
	// be superseded.
	minimum = "As a minimum, failsafe brings the engine to idle on loss or corruption of the signal; an electric " +
		"motor stops."
	source = "UK Civil Aviation Authority, CAP 658, Model Aircraft: A Guide to Safe Flying, 4th edition, 2012/2013. " +
		"Quoted from memory, not word by word, and it may be superseded: look up what holds today at your site."
)

// cautions hold for whoever repeats any of this.
var cautions = []string{
	"Propeller off AND the drive unable to run before any of this is repeated: motor leads off, or the receiver on a " +
		"supply of its own with the speed controller's whole plug out (its signal lead alone leaves two supplies in " +
		"parallel); a piston engine stopped, its ignition off.",
	"With a receiver that holds its last values nobody can stop a motor by radio. Many receivers leave the factory so.",
	"A speed controller that is powered up with raised throttle may enter its own set-up.",
	"Hands clear of control surfaces: a stabiliser moves them by itself.",
	"No lithium pack unattended; on the bench a current-limited supply, and no servo against its stop.",
	"A model tethered to a computer is not a range check.",
	"What the receiver's maker says in the manual, the rules of the flying site and national law come first.",
}

// atTheField is what no bench shows and what is left to do (common practice,
// but for the ground check, which has a source of its own).
var atTheField = []string{
	"With your eye: each control moves its surface the right way (stick back: elevator up; stick left: left aileron " +
		"up; rudder left: rudder left).",
	"With your eye: tilted by hand, the model corrects against the tilt (tail raised: elevator up; left wing raised: " +
		"left aileron up; nose jerked left: rudder right).",
	"Linkages, travel, binding, balance, and every screw.",
	"Stir all sticks hard on the flight supply with linkages on, and look for silences and restarts.",
	"Power-up: receiver on with the transmitter off leaves the motor dead. Another model memory moves nothing.",
	"Failsafe once more with the drive unable to run, soon after power-up and again after two minutes; controls back " +
		"within seconds once the transmitter is on.",
	"Range check as the transmitter's maker describes it, the model away from ground and computer. A ground check of " +
		"the radio comes before the first flight of a new or repaired model (Academy of Model Aeronautics, National " +
		"Model Aircraft Safety Code; an older edition, from memory).",
	"Shown once more on the ground before a first flight: the modes by heart, gain moderate, directions on every " +
		"axis, failsafe, range. Whether and how to fly is for the pilot, the site and the law to decide.",
	"After any change (reversing, end points, a rebind, new firmware, a new servo) what this report shows is stale: " +
		"listen again.",
}

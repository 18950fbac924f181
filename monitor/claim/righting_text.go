package claim

import "benchproof.example/monitor/unit"

// What the builder reads of the switch that rights the model.
const (
	rightingRests  = "%s rests at %s, and goes to %s only while it is worked"
	rightingAlone  = "%s is put on by its own switch, and %s takes it along nowhere"
	rightingInLoss = "without a signal %s is not at %s"
	rightingOver   = "%s overrides %s: it answers a tilt as %s does, and lets go again"

	rightingRested  = "%s went back to %s after it was at %s"
	rightingLatches = "%s was to be let go of and stood at %s for seconds all the same: its switch latches; assign it in the transmitter to one that " +
		"springs back, and take off what makes it toggle"
	rightingAlong = "%s went to %s in the same moment as %s, %d times: one switch of the transmitter moves both; put righting on a " +
		"switch of its own"
	rightingByItself = "%s was put on by itself, and not along with %s"
	rightingNotMoved = "%s did not go along with another switch so far; still to be moved by itself: %s"

	rightingGoesOn = "without a signal %s went to %s, so that the receiver rights the model by itself then: set its failsafe preset to %s"
	rightingLostOn = "without a signal %s stayed at %s, where it was when the signal went, so that nobody can end it: set its failsafe " +
		"preset to %s instead of hold"
	rightingLetGo     = "without a signal %s left %s, where it was when the signal went, for %s"
	rightingStayedOff = "without a signal %s stood at %s, not at %s"

	rightingTooEarly   = "%s, or the switches, were not where the drill asks for them, or not for long enough: leave them until the next prompt comes by itself"
	rightingComesAfter = "what rights the model leans on %s, which is shown first: do drill %s, then drill %s again"
	rightingNotHeard   = "%s sent no pulses for a part of the drill: look at its lead, then do the drill from its beginning"
	rightingNotTilted  = "%s answered the propped model by %s at most, so that nothing can be told: perhaps it was not tilted; prop it " +
		"farther, and do the drill again"
	rightingAgainst = "in %s %s moved %s, about one tilt: it turns the model the other way; look at the orientation that the receiver was " +
		"told, and learn its level again"
	rightingDead = "in %s %s moved no output by more than %s, while %s answered the same tilt by %s: the receiver does not take it for its " +
		"switch; look at which channel and position it listens to, whether that function is on, and its gain there"
	rightingLittle = "in %s %s moved outputs by %s, %s by %s about the same tilt: too little to tell; do it again, and hold it until the " +
		"next prompt comes"
	rightingStays = "in %s outputs were still off by %s two seconds after %s was let go: do it again, with the model lying still"

	rightingRights = "in %s %s moved outputs by %s about a tilt that %s answered by %s, the same way, and they came back when it was let go"
)

// signed is a width with its sign.
func signed(w unit.Width) string {
	if w < 0 {
		return "-" + unit.FormatWidth(-w)
	}
	return "+" + unit.FormatWidth(w)
}

package drill

// What must hold before a hand moves anything (common practice). The wording is
// for a person who reads it once, at the bench.
const (
	noPropeller = "The propeller is off AND the drive can't run: motor leads off, or the receiver on a supply of its own " +
		"with the speed controller's whole plug out (its signal lead alone leaves two supplies in parallel); a piston engine is stopped and its ignition off."
	handsClear = "Hands, tools and leads are clear of the control surfaces: a stabiliser may move them by itself at any moment."
	firm       = "The model stands firm and can't fall or run away, and nobody else reaches into it."
	moreFirst  = "The manual of your receiver, the rules of your flying site and the law of your country come first; " +
		"where they ask for more than this, do that."

	inHands = "Whoever tilts the model holds it firmly by its body, away from every surface and from where a propeller turns; " +
		"its leads are long enough, and nobody else reaches into it."

	byThemselves = "Limit learning moves the servos by themselves, right to the ends that it finds: linkages are free and nothing is against a stop."
	manualSays   = "You have read in the receiver's manual how it learns limits, and this receiver is meant to learn them anew now."
)

// inTheAir are the cautions of drills in which somebody holds the model in the hands.
func inTheAir() []string { return []string{noPropeller, handsClear, inHands, moreFirst} }

// cautions are those of every drill, with what one drill adds.
func cautions(more ...string) []string {
	return append([]string{noPropeller, handsClear, firm}, append(more, moreFirst)...)
}

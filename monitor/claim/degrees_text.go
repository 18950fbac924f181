package claim

// What the builder reads of answers for each degree.
const (
	claimsProportion = "in %s %s answers each degree of %s in proportion, the way that %s stick %s moves it"
	claimsLeft       = "in %s nothing is left of the answer of %s once the model rests about %s"
	claimsYaw        = "in %s %s answers a turn that is held the way that %s stick %s moves it, or not at all"

	noFigures     = "in %s, about %s, %s: %s"
	proportion    = "in %s %s goes by %s of %s, the way that %s stick %s moves it%s (%s)"
	deadBandIs    = ", with a dead band of %s ± %s"
	noDeadBand    = ", no dead band beyond %s"
	oppositeWay   = "in %s %s goes by %s of %s, against the way that %s stick %s moves it: the correction is reversed: %s (%s)"
	nothingLeft   = "in %s %s kicked by %s at most, and once the model rested nothing was left: %s of %s (%s)"
	somethingLeft = "in %s %s stays away by %s once the model rests, %s of %s (%s); the sheet wants %s: the receiver does something else in " +
		"this mode, or the sheet's windows are not the receiver's: look at its modes, and at where the windows come from"
	kickTooSmall = "in %s %s kicked by %s at most, too little to be sure of: tilt the model in one brisk movement from angle to angle; " + noMore
	leftUnsure   = "in %s %s rested %s away from level at most, %s of %s: neither nothing nor an answer; prop the model up so that it " +
		"rests, and do it again"
	creeps = "in %s %s came back %s away from where it had stood at level: it creeps, which is no fault of one that holds a course; no figure for " +
		"each degree follows from that"
	tooFew = "in %s %s rested %s away from level at most, and that is no answer in proportion: %s of %s; prop the model up so that it rests, at " +
		"angles farther apart; " + noMore
	yawNothing = "in %s nothing of a turn was left at %s: %s of yaw (%s); it answers the rate of a turn, or nothing, which rests can't tell"

	// nothingAnswers names what is looked at first, before anything is taken for dead.
	nothingAnswers = "in %s no tilt about %s moved %s by more than %s (%s). Look in this order: the gain is at zero; the mode is off there; " +
		"%slimit learning was not completed"
	perhapsTypedOnly = "; or nobody tilted it: a typed angle shows no tilt. Only after all of these is the stabiliser dead"
	surelyTilted     = ". A sensor on the model felt the tilts; only after all of these is the stabiliser dead"
)

// What the builder reads of a mode that was entered while the model was tilted.
const (
	claimsEntry   = "whether %s holds an attitude, or the course at which it was entered, is known"
	entryOpen     = "in %s: %s"
	holdsAttitude = "%s, entered with the %s, answered at once by %s: it holds an attitude"
	holdsCourse   = "%s, entered with the %s, started from rest (%s of the %s that an attitude would want): it holds what it was entered at; that " +
		"it creeps on a still bench is no fault"
	entryUnsure = "%s, entered with the %s, went by %s, where what holds an attitude goes by %s: that is neither; do it again with the model propped up"
)

// What the builder reads of the stabiliser's level.
const (
	claimsLevel = "in %s nothing is corrected about %s in the attitude for flying, within %s"
	levelIs     = "in %s outputs are those of %s with the model %s (± %s), counted from the attitude for flying%s"
	levelOff    = levelIs + "; the sheet wants it within %s: level the stabiliser again with the model set up as it is to fly, or learn its " +
		"limits again in that attitude; if the model was not set up so in the drill, do the drill again"
	levelUnsure = levelIs + ": whether that is within %s can't be told; read the angles more closely, and farther apart"
	levelOpen   = "in %s, about %s, its level can't be told: %s"
)

package attitude

// Round is what a phone that was turned half round on its spot, and back, tells of its own bias and of how the model
// lies. Angles are hundredths of a degree.
//
//	first    true + bias
//	turned  -true + bias    in the phone's axes: what stays is the phone's own
//	back     true + bias
type Round struct {
	Bias       Vector `json:"bias"` // of its vertical, in the phone's axes
	BiasCdeg   int64  `json:"bias_cdeg"`
	DoubtCdeg  int64  `json:"doubt_cdeg"`  // that is left of it, to either side
	TurnedCdeg int64  `json:"turned_cdeg"` // half round: 18000, either way
	PitchCdeg  int64  `json:"pitch_cdeg"`  // how the model lies against the true level, where the phone lies on it; nose raised is positive
	RollCdeg   int64  `json:"roll_cdeg"`   // left wing raised is positive
	Why        string `json:"why,omitempty"`
}

// Why nothing follows from a phone that was to be turned half round, as clauses.
const (
	roundUnseen  = "it has no gyroscope, so that nobody saw it turned"
	roundHole    = "how it lay on the way is not known"
	roundLifted  = "it was lifted, or fell, on the way"
	roundNotHalf = "it was not turned half round"
	roundMoved   = "it did not lie as before once it was turned back, or the model was moved"
	roundTooMuch = "no phone is off by as much: it can't have lain on one spot"
)

const (
	halfRound = 18000
	nearHalf  = 2500 // by which a hand turns it too far, or not far enough (an assumption of ours)
	onSpot    = 1500 // that it leans otherwise at most, on the way
	asBefore  = 60   // that it leans otherwise once it is back
	mostBias  = 400  // of a phone on its case (from memory)
	atLeast   = 10   // that is left of the bias in any case
)

// Half reports that a turn was half round, whichever way.
func Half(t *Turn) bool { return size(size(t.YawCdeg)-halfRound) <= nearHalf }

func size(n int64) int64 { return max(n, -n) }

// RoundOf is what follows from a rest, one with the phone turned, and one with it turned back; rests has all of the time
// between too.
func RoundOf(first, turned, back *Rest, rests []Rest, top Top) Round {
	out, home := TurnOf(first, turned, top), TurnOf(turned, back, top)
	r := Round{TurnedCdeg: size(out.YawCdeg)}
	if r.Why = onTheSpot(first, back, rests, &out, &home); r.Why != "" {
		return r
	}
	level := Rest{Up: Vector{0, 0, first.Up.long()}}
	for i := range 2 {
		r.Bias[i] = ((first.Up[i]+back.Up[i])/2 + turned.Up[i]) / 2
	}
	tipped := level
	tipped.Up[0], tipped.Up[1] = r.Bias[0], r.Bias[1]
	if r.BiasCdeg = Between(level.Up, tipped.Up); r.BiasCdeg > mostBias {
		r.Why = roundTooMuch
		return r
	}
	flying := back.Without(r.Bias)
	lean := LeanOf(&level, &flying, top)
	r.PitchCdeg, r.RollCdeg = lean.PitchCdeg, lean.RollCdeg
	short := size(r.TurnedCdeg - halfRound) // a turn that is not quite half leaves as much of the lean in the bias
	r.DoubtCdeg = atLeast + (first.Stray+turned.Stray+back.Stray)/6 + Between(first.Up, back.Up)/2 + lean.AngleCdeg*short/(2*5730)
	return r
}

// onTheSpot says why the phone was not turned half round on its spot and back, "" where it was.
func onTheSpot(first, back *Rest, rests []Rest, out, home *Turn) string {
	for i := range rests {
		b := &rests[i]
		switch {
		case b.FromNS <= first.FromNS || b.FromNS > back.FromNS:
		case !b.Gyro:
			return roundUnseen
		case b.HoleNS > hole:
			return roundHole
		case b.Leapt || b.MostCdeg > max(out.AngleCdeg, home.AngleCdeg)+onSpot:
			return roundLifted
		}
	}
	switch {
	case !Half(out) || !Half(home):
		return roundNotHalf
	case Between(first.Up, back.Up) > asBefore:
		return roundMoved
	}
	return ""
}

// Without is a rest as a phone without its bias feels it.
func (r *Rest) Without(bias Vector) Rest {
	clean := *r
	for i := range clean.Up {
		clean.Up[i] -= bias[i]
	}
	return clean
}

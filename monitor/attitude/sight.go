package attitude

import "benchproof.example/monitor/unit"

// Sight is what was seen of a tilt that was asked for, a word.
type Sight string

// The sights.
const (
	SightAsked    Sight = "as-asked"
	SightNobody   Sight = "nobody"       // the model lay, or was held, still all along
	SightOpposite Sight = "opposite"     // about the axis that was asked for, the other way
	SightOther    Sight = "another-axis" // Turn.Axis says which
	SightLetGo    Sight = "let-go"       // it was tilted, and was back before it had been held
	SightMoving   Sight = "moving"       // it did not rest before, or not once it was tilted
	SightDoubtful Sight = "doubtful"     // Turn.Why says why nothing follows
	SightUnknown  Sight = "unknown"      // nobody saw it
)

const (
	nobody = 300 // cdeg: less than that is no tilt, a hand that takes the model up does as much
	// ahead is how long before a prompt a hand may have begun, and before how long a rest must
	// have been over to be of another time.
	ahead   = 300 * unit.Millisecond
	another = 3 * unit.Second
)

// Ask is a tilt that is asked for.
type Ask struct {
	Axis     string // "pitch", "roll" or "yaw"
	Opposite bool   // nose raised, right wing raised, nose to the right; else tail, left wing, nose to the left
}

// sign is that of the angle which an ask means.
func (a Ask) sign() int64 {
	if (a.Axis == "roll") != a.Opposite {
		return 1
	}
	return -1
}

// See is what rests tell of a tilt that was asked for at one time and is answered at another.
func (t *Tracker) See(ask Ask, from, to unit.Time, top Top) (Turn, Sight) {
	if ask.Axis == "yaw" && !t.Last.Gyro {
		return Turn{}, SightUnknown
	}
	before := t.before(from)
	if before == nil {
		return Turn{}, SightMoving
	}
	after := t.after(before, to)
	if after == nil {
		if t.Resting && before == &t.Rests[len(t.Rests)-1] {
			return TurnOf(before, before, top), SightNobody
		}
		return Turn{FromNS: before.ToNS, MostCdeg: t.Way.MostCdeg, Fastest: t.Way.Fastest}, SightMoving
	}
	turn := TurnOf(before, after, top)
	turn.MostCdeg = t.farthest(before, after)
	return turn, turn.sight(ask)
}

// before is the rest from which a tilt begins, nil where there is none.
func (t *Tracker) before(from unit.Time) *Rest {
	for i := len(t.Rests) - 1; i >= 0; i-- {
		if r := &t.Rests[i]; r.FromNS.Sub(from) <= -ahead {
			if from.Sub(r.ToNS) > another {
				return nil
			}
			return r
		}
	}
	return nil
}

// after is the longest of the rests behind one.
func (t *Tracker) after(before *Rest, to unit.Time) (longest *Rest) {
	for i := range t.Rests {
		r := &t.Rests[i]
		if r.FromNS > before.FromNS && r.FromNS <= to && (longest == nil || r.For() > longest.For()) {
			longest = r
		}
	}
	return longest
}

// farthest is how far the model went on the way from one rest to another.
func (t *Tracker) farthest(before, after *Rest) (most int64) {
	for i := range t.Rests {
		if r := &t.Rests[i]; r.FromNS > before.FromNS && r.FromNS <= after.FromNS {
			most = max(most, r.MostCdeg)
		}
	}
	return most
}

// sight compares a turn with what was asked for.
func (t *Turn) sight(ask Ask) Sight {
	if ask.Axis == "yaw" && !t.Gyro {
		return SightUnknown
	}
	switch far := max(t.AngleCdeg, t.YawCdeg, -t.YawCdeg); {
	case t.Why != "" && t.Why != WhySmall:
		return SightDoubtful
	case far < nobody && t.MostCdeg >= least:
		return SightLetGo
	case far < nobody:
		return SightNobody
	case t.Why != "":
		return SightDoubtful
	case t.Axis != ask.Axis:
		return SightOther
	case t.Signed()*ask.sign() < 0:
		return SightOpposite
	}
	return SightAsked
}

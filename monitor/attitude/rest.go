package attitude

import "benchproof.example/monitor/unit"

const (
	tenth = 100 * unit.Millisecond
	// still is how many tenths in a row make a rest, and stillCdeg how far apart the attitudes of
	// those may be: a model in two hands trembles by a degree or so (from memory).
	still     = 6
	stillCdeg = 200
	// leaves is how far from where a rest lies it is over.
	leaves = 300
	// turns is by how much it is turned about the vertical in a tenth, cdeg, and is over: three times
	// what a gyroscope that rests may say (from memory).
	turns = 100
	// hole is how long no attitude may come until nobody knows what was in between.
	hole = 400 * unit.Millisecond
	// lasts is how many of its latest tenths tell where a rest lies that has just been come to.
	lasts = 10
	// kept are the rests that are remembered.
	kept = 24
)

// Rest is a stretch in which the model lay, or was held, still.
type Rest struct {
	FromNS unit.Time `json:"from_ns"` // by wire time
	ToNS   unit.Time `json:"to_ns"`
	Up     Vector    `json:"up"`         // the vertical in the phone's axes, mean
	Stray  int64     `json:"stray_cdeg"` // how far single tenths strayed from that, at most

	YawFrom int64 `json:"yaw_from"` // turned about the vertical up to then, by rate, cdeg
	YawTo   int64 `json:"yaw_to"`

	// Of the way here from the rest before.
	MostCdeg int64         `json:"most_cdeg"` // farthest from that
	Fastest  int64         `json:"fastest"`   // rate of turn, degrees a second
	HoleNS   unit.Duration `json:"hole_ns"`   // longest time without an attitude
	Leapt    bool          `json:"leapt"`     // the phone did what no hand does with a model
	Gyro     bool          `json:"gyroscope"` // it had a gyroscope all the way
	Settled  bool          `json:"settled"`   // it lasted for a second
	Sum      Vector        `json:"sum"`       // of the tenths
	Tenths   int64         `json:"tenths"`
}

// For is how long it lasted so far.
func (r *Rest) For() unit.Duration { return r.ToNS.Sub(r.FromNS) }

// Sample is one attitude.
type Sample struct {
	At   unit.Time // wire time
	Up   Vector
	Yaw  int64 // rate of turn about the vertical, cdeg a second
	Rate int64 // rate of turn about any axis, degrees a second; where there is no gyroscope, as the vertical has it
	Gyro bool
}

// Tracker finds the rests. Its exported fields are what a checkpoint keeps.
//
//	tenths   . . . . : : | | | | : : . . . . . . . . : : | | |
//	         \--- rest -/        \------ rest -----/
//	                     six alike begin the next; one apart ends it
type Tracker struct {
	Rests   []Rest // the latest; the last may go on
	Resting bool   // it does
	Recent  []mean // the latest tenths
	Open    mean   // the one under way
	Lately  []mean // the latest tenths of the rest under way, a second of them
	Behind  mean   // the latest of the rest under way: part of it once the next one is; a hand may have begun in it
	Last    Sample
	Heard   bool
	Began   unit.Time // with its first attitude
	YawSum  int64     // cdeg times µs

	Way Rest // what is known of the way to the next rest
}

// mean is the mean attitude of a tenth of a second.
type mean struct {
	Number int64 // bench time in tenths
	Sum    Vector
	Count  int64
	Yaw    int64 // at its end, cdeg
	Off    int64 // from the rest that it may be part of, cdeg
}

func (m *mean) up() Vector { return m.Sum.over(max(1, m.Count)) }

// Now is how far the model is turned from the latest rest, cdeg; false where there is none.
func (t *Tracker) Now() (int64, bool) {
	if len(t.Rests) == 0 || !t.Heard {
		return 0, false
	}
	return Between(t.Rests[len(t.Rests)-1].Up, t.Last.Up), true
}

// Forget forgets all: another phone, or nobody knows what was meanwhile.
func (t *Tracker) Forget() { *t = Tracker{} }

// Add takes an attitude, later than the last, and reports that a rest has just lasted for a second.
func (t *Tracker) Add(s Sample) (settled bool) {
	if !t.Heard {
		t.Heard, t.Began, t.Way = true, s.At, Rest{Gyro: true}
	} else {
		t.passes(&s)
	}
	if number := int64(s.At) / int64(tenth); number != t.Open.Number && t.Open.Count > 0 {
		settled = t.close()
		t.Open = mean{Number: number}
	} else {
		t.Open.Number = number
	}
	for i := range s.Up {
		t.Open.Sum[i] += s.Up[i]
	}
	t.Open.Count++
	t.Open.Yaw = t.yaw()
	t.Last = s
	return settled
}

// passes takes what lies between two attitudes.
func (t *Tracker) passes(s *Sample) {
	passed := s.At.Sub(t.Last.At)
	t.YawSum += (s.Yaw + t.Last.Yaw) / 2 * int64(passed/unit.Microsecond)
	w := &t.Way
	w.HoleNS = max(w.HoleNS, passed)
	w.Fastest = max(w.Fastest, s.Rate)
	w.Gyro = w.Gyro && s.Gyro
	if n := len(t.Rests); n > 0 {
		w.MostCdeg = max(w.MostCdeg, Between(t.Rests[n-1].Up, s.Up))
	}
	if passed > hole {
		t.Recent, t.Open, t.Resting = t.Recent[:0], mean{}, false
	}
}

func (t *Tracker) yaw() int64 { return rounded(t.YawSum, int64(unit.Second/unit.Microsecond)) }

// close ends a tenth.
func (t *Tracker) close() (settled bool) {
	up := t.Open.up()
	if t.Resting {
		r := &t.Rests[len(t.Rests)-1]
		off := Between(r.Up, up)
		if turned := t.Open.Yaw - t.Behind.Yaw; off <= leaves && max(turned, -turned) <= turns {
			was := t.Behind
			t.Behind, t.Behind.Off = t.Open, off
			t.lately(&was)
			return r.goesOn(&was, &t.Way)
		}
		t.Resting = false
		t.Recent = t.Recent[:0]
	}
	if n := len(t.Recent); n > 0 && t.Recent[n-1].Number != t.Open.Number-1 { // a tenth was empty
		if t.Open.Number-t.Recent[n-1].Number > int64(hole/tenth) {
			t.Recent = t.Recent[:0]
		}
	}
	if len(t.Recent) == still {
		t.Recent = t.Recent[:copy(t.Recent, t.Recent[1:])]
	}
	t.Recent = append(t.Recent, t.Open)
	if len(t.Recent) == still {
		t.begin()
	}
	return false
}

// begin begins a rest where the latest tenths are alike.
func (t *Tracker) begin() {
	var sum Vector
	for i := range t.Recent {
		for k, v := range t.Recent[i].up() {
			sum[k] += v
		}
	}
	up, stray := sum.over(still), int64(0)
	for i := range t.Recent {
		stray = max(stray, Between(up, t.Recent[i].up()))
		if i == 0 {
			continue
		}
		if turned := t.Recent[i].Yaw - t.Recent[i-1].Yaw; max(turned, -turned) > turns {
			return
		}
	}
	if stray > stillCdeg {
		return
	}
	r := t.Way
	first, last := &t.Recent[0], &t.Recent[still-1]
	r.FromNS, r.ToNS = unit.Time(first.Number*int64(tenth)), unit.Time((last.Number+1)*int64(tenth))
	r.Up, r.Stray, r.Sum, r.Tenths = up, stray, sum, still
	r.YawFrom, r.YawTo = first.Yaw, last.Yaw
	if len(t.Rests) == kept {
		t.Rests = t.Rests[:copy(t.Rests, t.Rests[1:])]
	}
	t.Rests = append(t.Rests, r)
	t.Resting, t.Behind = true, mean{Yaw: last.Yaw}
	t.Lately = append(t.Lately[:0], t.Recent...)
	t.Recent = t.Recent[:0]
	t.Way = Rest{Gyro: true}
}

// lately keeps a further tenth of the rest under way.
func (t *Tracker) lately(m *mean) {
	if m.Count == 0 { // those with which it began are there
		return
	}
	if len(t.Lately) == lasts {
		t.Lately = t.Lately[:copy(t.Lately, t.Lately[1:])]
	}
	t.Lately = append(t.Lately, *m)
}

// goesOn takes a further tenth of a rest. What passed since it began is no way to the next one.
func (r *Rest) goesOn(m *mean, way *Rest) (settled bool) {
	*way = Rest{Gyro: true}
	if m.Count == 0 { // those with which it began are part of it already
		return false
	}
	for i, v := range m.up() {
		r.Sum[i] += v
	}
	r.Tenths++
	r.Up = r.Sum.over(r.Tenths)
	r.Stray = max(r.Stray, m.Off)
	r.ToNS, r.YawTo = unit.Time((m.Number+1)*int64(tenth)), m.Yaw
	settled = !r.Settled && r.For() >= unit.Second
	r.Settled = r.Settled || settled
	return settled
}

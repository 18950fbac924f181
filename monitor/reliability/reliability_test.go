package reliability

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

// of are outages of a second each that begin then; all the time is watched.
func of(starts ...unit.Duration) *Outages {
	o := &Outages{Gap: Gap}
	for _, at := range starts {
		o.Add(unit.Time(at), unit.Time(at+unit.Second), at)
	}
	return o
}

func TestOccasions(t *testing.T) {
	type outage struct{ began, ended unit.Duration }
	const m = unit.Minute
	for name, c := range map[string]struct {
		outages   []outage
		occasions int64
		blocked   unit.Duration
	}{
		"none":                       {nil, 0, 0},
		"one":                        {[]outage{{5 * m, 6 * m}}, 1, 31 * m},
		"quiet for as long as a gap": {[]outage{{5 * m, 6 * m}, {36 * m, 36 * m}}, 1, 61 * m},
		"quiet for longer":           {[]outage{{5 * m, 6 * m}, {36*m + 1, 37 * m}}, 2, 62*m - 1},
		"a chain":                    {[]outage{{0, m}, {30 * m, 31 * m}, {60 * m, 61 * m}, {90 * m, 91 * m}}, 1, 121 * m},
		"one within another":         {[]outage{{10 * m, 11 * m}, {5 * m, 50 * m}, {79 * m, 80 * m}}, 1, 105 * m},
		"at the very begin":          {[]outage{{0, 0}}, 1, 30 * m},
	} {
		t.Run(name, func(t *testing.T) {
			o := &Outages{Gap: Gap}
			for _, at := range c.outages {
				o.Add(unit.Time(at.began), unit.Time(at.ended), at.began)
			}
			assert.Equal(t, int64(len(c.outages)), o.N)
			assert.Equal(t, c.occasions, o.Occasions)
			assert.False(t, o.Frequent(4*c.blocked))
			assert.Equal(t, c.blocked > 0, o.Frequent(max(0, 4*c.blocked-1)))
		})
	}
	longer := &Outages{Gap: LongGap}
	longer.Add(0, 0, 0)
	longer.Add(unit.Time(60*m), unit.Time(60*m), 60*m)
	assert.Equal(t, int64(1), longer.Occasions)
}

// A checkpoint's JSON goes on where it was left, and has no more starts than are kept.
func TestAsJSON(t *testing.T) {
	o := &Outages{Gap: Gap}
	for i := range unit.Duration(MaxStarts + 44) {
		o.Add(unit.Time(i*hour), unit.Time(i*hour+unit.Second), i*hour)
		text, err := json.Marshal(o)
		require.NoError(t, err)
		again := &Outages{}
		require.NoError(t, json.Unmarshal(text, again))
		require.Equal(t, o, again)
		o = again
	}
	assert.Len(t, o.Starts, MaxStarts)
	assert.Equal(t, int64(MaxStarts+44), o.N)
	assert.Equal(t, TooManyToTell, o.Pattern(1000*hour))
}

func TestHoursPerOccasion(t *testing.T) {
	quiet := of()
	for _, c := range []struct {
		hours, always int64
	}{{3, 0}, {4, 1}, {98, 25}, {99, 26}, {125, 32}, {126, 33}} {
		watched := unit.Duration(c.hours) * hour
		assert.Equal(t, c.always, quiet.HoursPerOccasion(watched), "%d h", c.hours)
	}
	assert.Equal(t, int64(33), quiet.HoursPerOccasion(450_065*unit.Second), "125.018 h")
	assert.Equal(t, int64(32), quiet.HoursPerOccasion(450_064*unit.Second))
	once := of(10 * hour)
	assert.Equal(t, int64(18), once.HoursPerOccasion(126*hour))
	often := of(hour, 3*hour, 5*hour, 7*hour, 9*hour, 11*hour, 13*hour)
	assert.True(t, often.Frequent(14*hour))
	assert.Equal(t, int64(0), often.HoursPerOccasion(14*hour))
	assert.Equal(t, int64(0), quiet.HoursPerOccasion(0))

	long := &Outages{Gap: Gap} // 30 h of it, and half an hour: a quarter of 122 h
	long.Add(0, unit.Time(30*hour), 0)
	assert.True(t, long.Frequent(100*hour))
	assert.Equal(t, int64(0), long.HoursPerOccasion(100*hour), "no bound while outages are frequent, however few they are")
	assert.Positive(t, long.HoursPerOccasion(122*hour))
	assert.Equal(t, 22*hour, long.StillToRun(100*hour, 10))
}

func TestQuietGoalHours(t *testing.T) {
	assert.Equal(t, int64(4), QuietGoalHours(12*hour, 0))
	assert.Equal(t, int64(3), QuietGoalHours(12*hour, 1))
	assert.Equal(t, int64(2), QuietGoalHours(12*hour, 4))
	assert.Equal(t, int64(0), QuietGoalHours(2*hour, 0))
}

// The bounds grow with the occasions and with the time, the one that holds always is the
// wider, and what remains to run is what it takes, to the second.
func TestBoundsAreMonotone(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	for n := range int64(120) {
		assert.Less(t, upperAtEnd(n), upperAtEnd(n+1))
		assert.Less(t, upperAlways(n), upperAlways(n+1))
		assert.Less(t, upperAtEnd(n), upperAlways(n))
		assert.Less(t, upperAtGoal(n), upperAtGoal(n+1))
	}
	for range 300 {
		o := &Outages{Gap: Gap}
		at := unit.Duration(0)
		for range random.IntN(12) {
			at += unit.Duration(random.Int64N(int64(20 * hour)))
			o.Add(unit.Time(at), unit.Time(at+unit.Minute), at)
		}
		watched := at + unit.Duration(random.Int64N(int64(100*hour)))
		has := o.HoursPerOccasion(watched)
		assert.LessOrEqual(t, has, o.HoursPerOccasion(watched+hour))
		if has > 0 {
			assert.LessOrEqual(t, float64(has), float64(watched)/float64(hour)/upperAlways(o.Occasions), "rounded down")
			assert.Greater(t, float64(has+1), float64(watched)/float64(hour)/upperAlways(o.Occasions))
			assert.Zero(t, o.StillToRun(watched, has))
		}
		more := 1 + has + random.Int64N(30)
		left := o.StillToRun(watched, more)
		assert.Positive(t, left)
		assert.Zero(t, left%unit.Second)
		assert.GreaterOrEqual(t, o.HoursPerOccasion(watched+left), more)
		assert.Less(t, o.HoursPerOccasion(watched+left-unit.Second), more)
		o.Add(unit.Time(watched+2*hour), unit.Time(watched+2*hour), watched)
		assert.LessOrEqual(t, o.HoursPerOccasion(watched), has, "one more")
	}
}

func TestPattern(t *testing.T) {
	even := func(n int) (starts []unit.Duration) {
		for i := range n {
			starts = append(starts, 1000*hour*unit.Duration(i+1)/unit.Duration(n+1))
		}
		return starts
	}
	const h = hour
	for name, c := range map[string]struct {
		starts []unit.Duration
		want   Pattern
	}{
		"none":                                   {nil, TooFew},
		"one":                                    {even(1), TooFew},
		"two":                                    {even(2), TwoApart},
		"two, close":                             {[]unit.Duration{500 * h, 508 * h}, TwoClose},
		"two, hardly close":                      {[]unit.Duration{500 * h, 509 * h}, TwoApart},
		"two in one moment":                      {[]unit.Duration{500 * h, 500 * h}, TwoClose},
		"three":                                  {even(3), NoneSeen},
		"three in a bunch":                       {[]unit.Duration{500 * h, 501 * h, 502 * h}, Bunches},
		"three, reported out of row":             {[]unit.Duration{750 * h, 250 * h, 500 * h}, NoneSeen},
		"four, regular":                          {even(4), NoneSeen},
		"five, regular":                          {even(5), Regular},
		"as chance has them":                     {[]unit.Duration{50 * h, 90 * h, 210 * h, 490 * h, 530 * h, 800 * h, 970 * h}, NoneSeen},
		"thirty, regular, and two in one moment": {append(even(30), even(30)[3]), Regular},
		"late":                                   {[]unit.Duration{550 * h, 650 * h, 760 * h, 850 * h, 960 * h}, NotSteady},
		"early":                                  {[]unit.Duration{50 * h, 140 * h, 250 * h, 350 * h, 440 * h}, NotSteady},
		"four, early":                            {[]unit.Duration{50 * h, 140 * h, 250 * h, 350 * h}, NoneSeen},
		"at the begin and the end":               {[]unit.Duration{0, 0, 1000 * h}, Bunches},
	} {
		assert.Equal(t, c.want, of(c.starts...).Pattern(1000*h), name)
	}
}

// Where there is no pattern one is seen about as rarely as is meant: one in sixty for bunches and
// as much for regular ones, one in twenty for those that are not steady.
func TestPatternsAreRarelySeenWhereThereIsNone(t *testing.T) {
	n := runs(t)
	for _, outages := range []int{2, 3, 5, 10, 40} {
		seen := map[Pattern]float64{}
		for run := range n {
			random := rand.New(rand.NewPCG(uint64(outages), uint64(run)))
			o := &Outages{Gap: Gap}
			for range outages {
				at := unit.Duration(random.Int64N(int64(1000 * hour)))
				o.Add(unit.Time(at), unit.Time(at), at)
			}
			seen[o.Pattern(1000*hour)] += 1 / float64(n)
		}
		t.Logf("%d outages: %v", outages, seen)
		most := func(share float64) float64 { return 2*share - least(share, n) }
		for _, p := range []Pattern{TwoClose, Bunches, Regular} {
			assert.LessOrEqual(t, seen[p], most(0.0167+0.002), "%d outages, pattern %d", outages, p)
		}
		assert.LessOrEqual(t, seen[NotSteady], most(0.05), "%d outages", outages)
	}
}

func TestSentence(t *testing.T) {
	const proves, bounds = "Luck allowed for, that proves: occasions of outages come no more often than once in ",
		" h on average, 95 % sure, on this bench under these conditions (less sure if one cause disturbs for longer than "
	for name, c := range map[string]struct {
		o       *Outages
		watched unit.Duration
		want    string
	}{
		"none": {of(), 126*hour + 59*unit.Minute,
			"No outage in 126 h. " + proves + "33" + bounds + "an hour). " +
				"One quiet soak can't show whether outages would come in bunches."},
		"none, long gap": {&Outages{Gap: LongGap}, 126 * hour,
			"No outage in 126 h. " + proves + "33" + bounds + "two hours). " +
				"One quiet soak can't show whether outages would come in bunches."},
		"none, hardly begun": {of(), 59 * unit.Second,
			"No outage in 59 s. That is too short to prove anything; the first figure comes at 4 h, if no further occasion does. " +
				"One quiet soak can't show whether outages would come in bunches."},
		"none, too short": {of(), 59 * unit.Minute,
			"No outage in 59 min. That is too short to prove anything; the first figure comes at 4 h, if no further occasion does. " +
				"One quiet soak can't show whether outages would come in bunches."},
		"one": {of(10 * hour), 126 * hour,
			"1 outage in 126 h. " + proves + "18" + bounds + "an hour). " +
				"One occasion is too few to judge any pattern."},
		"one, too short": {of(10 * unit.Minute), hour,
			"1 outage in 1 h. That is too short to prove anything; the first figure comes at 7 h, if no further occasion does. " +
				"One occasion is too few to judge any pattern."},
		"two": {of(10*hour, 60*hour), 126 * hour,
			"2 outages on 2 occasions in 126 h, one occasion in 63 h. " + proves + "14" + bounds + "an hour). " +
				"Two are too few to see a trend."},
		"two, close": {of(10*hour, 10*hour+unit.Minute), 126 * hour,
			"2 outages on 1 occasion in 126 h. " + proves + "18" + bounds + "an hour). " +
				"The two came closer together than chance would have them."},
		"three": {of(10*hour, 60*hour, 100*hour), 126 * hour,
			"3 outages on 3 occasions in 126 h, one occasion in 42 h. " + proves + "11" + bounds + "an hour). " +
				"No pattern was seen in when they came, which does not show that there is none."},
		"in bunches": {of(10*hour, 10*hour+unit.Minute, 10*hour+2*unit.Minute, 60*hour), 126 * hour,
			"4 outages on 2 occasions in 126 h, one occasion in 63 h. " + proves + "14" + bounds + "an hour). They came in bunches."},
		"regular": {of(20*hour, 40*hour, 60*hour, 80*hour, 100*hour), 120 * hour,
			"5 outages on 5 occasions in 120 h, one occasion in 24 h. " + proves + "8" + bounds + "an hour). " +
				"They came more regularly than chance would have them."},
		"early": {of(5*hour, 14*hour, 25*hour, 35*hour, 44*hour), 100 * hour,
			"5 outages on 5 occasions in 100 h, one occasion in 20 h. " + proves + "6" + bounds + "an hour). " +
				"They did not come steadily over the soak, so the average says little about any part of it."},
		"frequent": {of(hour, 2*hour, 3*hour), 5 * hour,
			"Outages were frequent: 3 in 5 h. Nothing is proven of how rare they are."},
	} {
		assert.Equal(t, c.want, c.o.Sentence(c.watched), name)
	}
}

package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// missing is a run of ten hours in which frames are missed in so many of a thousand seconds.
func missing(perMille int) func(*soakRun) {
	return func(r *soakRun) { r.goOn(10*hour, perMille) }
}

func differences(t *testing.T, then, now *record.Record, earlier ...*record.Record) (*compare.Soak, string) {
	t.Helper()
	c, err := compare.Compare("then", then, "now", now)
	require.NoError(t, err)
	if c.Soak == nil {
		return nil, strings.Join(page.Differences(c), "\n")
	}
	c.Soak.Against(now, earlier)
	return c.Soak, strings.Join(page.Differences(c), "\n")
}

func TestTwoLongRuns(t *testing.T) {
	_, r, _ := smallSitting(t)
	few, many := soaked(t, r, declared, missing(20)), soaked(t, r, declared, missing(80))
	s, words := differences(t, few, many)
	assert.True(t, s.Taps[0].ShareDiffers)
	assert.Contains(t, words, "it differs from that session", "never more than that, from two")
	assert.NotContains(t, words, "MORE")
	assert.Contains(t, words, "Long run, main: outages: none in 9 h 59 min then, none in 9 h 59 min now\n")
	assert.Contains(t, words, "Long run, main: proven: on average no more often than once in 2 h (95 % sure) then")
	assert.True(t, strings.HasPrefix(words, "Long run, not known to be like with like, since neither session declares it: transmitter's supply, "+
		"transmitter's idle alarm or switch-off\n"), "like with like comes first: %s", words)

	s, _ = differences(t, many, few)
	assert.True(t, s.Taps[0].ShareDiffers, "less differs, too")

	s, words = differences(t, few, soaked(t, r, declared, missing(21)))
	require.NotEqual(t, s.Taps[0].Then.Share.PPM, s.Taps[0].Now.Share.PPM)
	assert.False(t, s.Taps[0].ShareDiffers, "their doubts meet")
	assert.Contains(t, words, "no difference was seen")

	_, words = differences(t, few, soaked(t, r, declared, func(r *soakRun) { r.goOn(hour+2*unit.Minute, 20) }))
	assert.Contains(t, words, "(95 % sure) then, nothing now", "an hour is too short to prove one")
	assert.NotContains(t, words, "A higher count")

	_, words = differences(t, few, soaked(t, r, declared, func(r *soakRun) {
		r.goOn(9*hour, 20)
		r.lose(unit.Second)
		r.goOn(hour, 20)
		r.signal(1, false)
		r.goOn(unit.Minute, 0)
	}))
	assert.Contains(t, words, "outages: none in 9 h 59 min then, 1 (occasions: 1) in 9 h 59 min, and then the signal "+
		"went and did not come back, now. A higher count")

	s, words = differences(t, few, soaked(t, r, "soak: {distance: 9 m, mode: off}\n", missing(20)))
	require.NotEmpty(t, s.Unlike)
	assert.Equal(t, compare.Edit{Path: "distance", Then: "3 m", Now: "9 m"}, s.Unlike[0])
	assert.Equal(t, "Long run, NOT like with like: distance: 3 m then, 9 m now", strings.Split(words, "\n")[0])
	assert.Contains(t, words, "Long run, not known to be like with like: outputs: unplugged then, not declared now")

	_, words = differences(t, few, soaked(t, r, declared, missing(0)))
	assert.Contains(t, words, "too few runs of missed frames for a share with its doubt, so nothing is said")

	all := "soak: {distance: 3 m, mode: off, outputs: unplugged, receiver_supply: a, transmitter_supply: b, transmitter_idle: none}\n"
	_, words = differences(t, soaked(t, r, all, missing(20)), soaked(t, r, all, missing(20)))
	assert.Contains(t, words, "both were done under the same declared conditions")
}

// Worse is said against three or more that declare the same, and of no fewer.
func TestALongRunAgainstEarlierOnes(t *testing.T) {
	_, r, _ := smallSitting(t)
	now := soaked(t, r, declared, missing(80))
	earlier := []*record.Record{
		soaked(t, r, declared, missing(20)), soaked(t, r, declared, missing(22)), soaked(t, r, declared, missing(18)),
	}
	elsewhere := soaked(t, r, "soak: {distance: 9 m}\n", missing(19))
	s, words := differences(t, earlier[0], now, earlier[0], earlier[1], elsewhere, r)
	assert.Nil(t, s.Taps[0].Earlier, "two are too few, and one elsewhere is none of them")
	assert.NotContains(t, words, "MORE")
	bare := soaked(t, r, "", missing(80))
	s, _ = differences(t, bare, bare, soaked(t, r, "", missing(20)), soaked(t, r, "", missing(22)), soaked(t, r, "", missing(18)))
	assert.Nil(t, s.Taps[0].Earlier, "where nothing is declared nobody knows whether they are alike")
	s, words = differences(t, earlier[0], now, append(earlier, elsewhere)...)
	require.NotNil(t, s.Taps[0].Earlier)
	assert.Equal(t, 3, s.Taps[0].Earlier.Sessions)
	assert.True(t, s.Taps[0].Earlier.Worse())
	assert.Contains(t, words, "MORE than in 3 earlier sessions that declare the same")
	assert.Contains(t, words, "In all: no claim got worse, but more was missed on the air by main than in 3 earlier long runs. ")
	s, words = differences(t, earlier[0], soaked(t, r, declared, missing(21)), earlier...)
	assert.False(t, s.Taps[0].Earlier.Worse())
	assert.Contains(t, words, "no more than 3 earlier sessions that declare the same lead one to expect")
}

// Records of earlier builds have no account, and short sessions are no long runs.
func TestNoLongRunNoWord(t *testing.T) {
	_, r, _ := smallSitting(t)
	old := *r
	old.Account = nil
	for _, then := range []*record.Record{r, &old} {
		s, words := differences(t, then, soaked(t, r, declared, missing(20)))
		assert.Nil(t, s)
		assert.NotContains(t, words, "Long run")
		assert.NotContains(t, printed(t, then, nil, page.Options{}), "The long run")
	}
	old.Account = &state.Account{}
	assert.NotContains(t, printed(t, &old, nil, page.Options{}), "The long run")
}

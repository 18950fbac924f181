package recheck_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recheck"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
)

func day(n int) time.Time { return time.Date(2026, 5, n, 11, 0, 0, 0, time.UTC) }

func starter(t testing.TB, changes ...string) (*sheet.Sheet, string) {
	t.Helper()
	text := string(sheet.Starter())
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	s, err := sheet.Read("sheet", []byte(text))
	require.NoError(t, err)
	return s, text
}

// session is a record of a day in which all claims have the verdict, but for those that are named.
func session(t testing.TB, begun time.Time, all claim.Verdict, but map[string]claim.Verdict, changes ...string) *record.Record {
	t.Helper()
	s, text := starter(t, changes...)
	r := &record.Record{Model: s.Model, Begun: begun, Sheet: text}
	for _, c := range claim.New(s).Claims() {
		verdict := all
		if v, ok := but[c.ID]; ok {
			verdict = v
		}
		r.Claims = append(r.Claims, record.Claim{ID: c.ID, Verdict: string(verdict), Sentence: "what was seen of " + c.ID})
	}
	return r
}

func plan(t testing.TB, on time.Time, papers []event.Paper, latestFirst ...*record.Record) *recheck.Plan {
	t.Helper()
	s, _ := starter(t)
	return recheck.New(s, latestFirst, papers, on)
}

// Nothing was seen yet: eight prompts at most, what takes the signal or the supply away apart, and no drill twice.
func TestAReCheckOfANewModel(t *testing.T) {
	p := plan(t, day(9), nil)
	assert.Len(t, p.Prompts, recheck.Most)
	assert.Positive(t, p.Later)
	var apart []string
	for _, one := range p.Apart {
		apart = append(apart, one.Drill)
	}
	assert.ElementsMatch(t, []string{"failsafe", "power-up"}, apart)
	drills := map[string]bool{}
	for _, one := range p.Prompts {
		assert.False(t, one.Drill != "" && drills[one.Drill], one.Drill)
		drills[one.Drill] = true
		assert.NotEqual(t, "failsafe", one.Drill)
	}
	lines := strings.Join(strings.Fields(strings.Join(p.Lines(), " ")), " ")
	for _, want := range []string{"the drive unable to run", "two minutes of waiting", "no clearance to fly", "never seen right"} {
		assert.Contains(t, lines, want)
	}
}

func TestStaleThenNeverThenTheOldest(t *testing.T) {
	right, open, stale, wrong := claim.VerdictRight, claim.VerdictOpen, claim.VerdictStale, claim.VerdictWrong
	only := func(id string, v claim.Verdict) map[string]claim.Verdict { return map[string]claim.Verdict{id: v} }
	for _, c := range []struct {
		name     string
		papers   []event.Paper
		sessions []*record.Record
		first    string // drill of the first prompt
		why      string
	}{
		{"stale comes first", nil, []*record.Record{session(t, day(2), right, only("cut/throttle", stale))}, "neutral", "stale: something was changed since"},
		{"never seen", nil, []*record.Record{session(t, day(2), right, only("order/aileron", open))}, "order", "never seen right"},
		{"stale before never seen", nil,
			[]*record.Record{session(t, day(2), right, map[string]claim.Verdict{"order/aileron": open, "cut/throttle": stale})}, "neutral", "stale"},
		{"the oldest", nil, []*record.Record{
			session(t, day(4), right, only("cut/throttle", open)), session(t, day(2), right, nil),
		}, "neutral", "seen right last on 2026-05-02"},
		{"a later right is what counts", nil, []*record.Record{
			session(t, day(4), right, only("idle/throttle", open)), session(t, day(2), right, only("cut/throttle", wrong)),
		}, "neutral", "seen right last on 2026-05-02"},
		{"the papers say that it was bound since", []event.Paper{{Entry: "bound", By: "Ann", Date: "2026-05-03"}},
			[]*record.Record{session(t, day(2), right, nil)}, "", "stale"},
		{"bound on the day of the session: days count, not hours", []event.Paper{{Entry: "bound", By: "Ann", Date: "2026-05-02"}},
			[]*record.Record{session(t, day(2), right, nil)}, "", "seen right last on 2026-05-02"},
		{"what the sheet wants is another width now", nil, []*record.Record{session(t, day(2), right, nil, "idle: 1060", "idle: 1080")}, "ends", "never seen right"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(t, day(9), c.papers, c.sessions...)
			require.NotEmpty(t, p.Prompts)
			assert.Empty(t, p.Wrong)
			if c.first != "" {
				assert.Equal(t, c.first, p.Prompts[0].Drill)
			}
			lines := p.Lines()
			for i, line := range lines {
				if strings.HasPrefix(line, "  1 ") {
					assert.Contains(t, strings.Join(strings.Fields(strings.Join(lines[i:i+4], " ")), " "), c.why)
				}
			}
		})
	}
}

// A reopening in a later session makes what an earlier one saw stale.
func TestWhatWasReopenedIsStale(t *testing.T) {
	later := session(t, day(4), claim.VerdictOpen, nil)
	later.Reopened = []record.Mark{{Text: "throttle"}}
	p := plan(t, day(9), nil, later, session(t, day(2), claim.VerdictRight, nil))
	assert.True(t, p.Prompts[0].Stale)
	later.Reopened = nil
	p = plan(t, day(9), nil, later, session(t, day(2), claim.VerdictRight, nil))
	assert.False(t, p.Prompts[0].Stale)
}

func TestWrongComesBeforeAll(t *testing.T) {
	p := plan(t, day(9), nil, session(t, day(2), claim.VerdictRight, map[string]claim.Verdict{"failsafe/throttle": claim.VerdictWrong}))
	assert.Equal(t, []string{"what was seen of failsafe/throttle"}, p.Wrong)
	assert.Contains(t, strings.Join(p.Lines(), "\n"), "to be mended before anything else counts")
}

// Done on the day, it is not asked for again; a year later it is. Another model's sessions say nothing.
func TestWhatWasSeenOnTheDay(t *testing.T) {
	all := session(t, day(9), claim.VerdictRight, nil)
	p := plan(t, day(9), nil, all)
	assert.Empty(t, p.Prompts)
	assert.Empty(t, p.Apart)
	assert.Positive(t, p.Fresh)
	assert.Contains(t, strings.Join(p.Lines(), " "), "Nothing else is to be shown again")
	assert.NotEmpty(t, plan(t, day(9).Add(time.Second), nil, all).Prompts)
	all.Model = "another"
	assert.Len(t, plan(t, day(9), nil, all).Prompts, recheck.Most)
}

// These have the receiver learn anew, or take a switch off its channel: nobody is sent there to look whether all is as it was.
func TestNoReCheckSetsSomethingUp(t *testing.T) {
	s, _ := starter(t, "\nfailsafe:\n", `
levelling: {starts: as its manual says, sides: [flat], rests: 5s}
learning:
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: gesture, gesture: limit-learning}

failsafe:
`, "\n  margin: 100 us", "\n  measure: [edges]\n  margin: 100 us")
	wanted := map[string]bool{"levelling": true, "limit-learning": true, "edges": true}
	p := recheck.New(s, []*record.Record{session(t, day(2), claim.VerdictRight, nil)}, nil, day(9))
	for _, one := range p.Prompts {
		assert.NotContains(t, wanted, one.Drill)
	}
	for _, c := range claim.New(s).Claims() {
		delete(wanted, c.Settle.Drill)
	}
	assert.Empty(t, wanted, "the sheet has claims of each")
}

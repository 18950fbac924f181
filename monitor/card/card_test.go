package card_test

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/card"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/sheet"
)

func read(t testing.TB, text string) *sheet.Sheet {
	t.Helper()
	s, err := sheet.Read("sheet", []byte(text))
	require.NoError(t, err)
	return s
}

// starter is the starter sheet, with another text in the place of each first one.
func starter(t testing.TB, changes ...string) *sheet.Sheet {
	t.Helper()
	text := string(sheet.Starter())
	for i := 0; i < len(changes); i += 2 {
		require.Contains(t, text, changes[i])
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	return read(t, text)
}

// session is a record of a sheet in which claims have these verdicts, and all others are open.
func session(s *sheet.Sheet, verdicts map[string]claim.Verdict) *record.Record {
	r := &record.Record{Model: s.Model, Begun: time.Date(2026, 5, 2, 11, 0, 0, 0, time.UTC), Modes: record.Combinations(s)}
	for _, c := range claim.New(s).Claims() {
		verdict := verdicts[c.ID]
		if verdict == "" {
			verdict = claim.VerdictOpen
		}
		r.Claims = append(r.Claims, record.Claim{ID: c.ID, Verdict: string(verdict)})
	}
	return r
}

func lines(s *sheet.Sheet, r *record.Record, papers ...event.Paper) string {
	return strings.Join(card.New(s, r, papers).Lines(), "\n") + "\n"
}

// The card of the starter, as a terminal has it. BENCHPROOF_REWRITE writes it anew.
func TestTheCardOfASheet(t *testing.T) {
	got := lines(starter(t), nil, event.Paper{Entry: "mounting", Is: "flat, label up", By: "Ann", Date: "2026-05-02"})
	const golden = "testdata/starter.txt"
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o600))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
	for line := range strings.Lines(got) {
		assert.LessOrEqual(t, len([]rune(line)), 81, line)
	}
}

// What was seen stands beside what it is about: the worst of several claims, and nothing but an empty box
// where the sheet makes no claim.
func TestTheCardSaysWhatWasSeen(t *testing.T) {
	right, wrong, stale := claim.VerdictRight, claim.VerdictWrong, claim.VerdictStale
	s := starter(t)
	for _, c := range []struct {
		name     string
		verdicts map[string]claim.Verdict
		want     string
	}{
		{"nothing", nil, "tail raised: elevator up, as with elevator stick back (output 2, pulse wider) - not seen"},
		{"right", map[string]claim.Verdict{"correction/pitch/output:2": right}, "pulse wider) - seen right"},
		{"wrong", map[string]claim.Verdict{"correction/roll/output:1": wrong}, "pulse narrower) - SEEN WRONG"},
		{"a mode", map[string]claim.Verdict{"mode/upright/third": right}, "aid third: UPRIGHT, an answer that stays (not seen) - seen right"},
		{"what a mode does", map[string]claim.Verdict{"response/upright": wrong}, "an answer that stays (SEEN WRONG) - not seen"},
		{"stale", map[string]claim.Verdict{"mode/plain/first": stale}, "aid first: PLAIN, no answer (off) (not seen) - stale"},
		{"a symptom, the worst", map[string]claim.Verdict{"order/aileron": right, "order/elevator": wrong}, "look at the surface. - SEEN WRONG"},
		{"a symptom, not all", map[string]claim.Verdict{"order/aileron": right}, "look at the surface. - not seen"},
		{"a symptom, one axis of three", map[string]claim.Verdict{"correction/yaw/output:4": right}, "nose jerked left: surfaces as above. - seen right"},
		{"without a signal", map[string]claim.Verdict{"failsafe/throttle": wrong}, "throttle: 1010 µs or less (SEEN WRONG)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			flat := strings.Join(strings.Fields(lines(s, session(s, c.verdicts))), " ")
			assert.Contains(t, flat, c.want)
			assert.Contains(t, flat, "what the session of 2026-05-02 11:00 UTC showed")
		})
	}
}

func TestSurfacesGoTheWayOfTheirNames(t *testing.T) {
	for _, c := range []struct{ name, outputs, want string }{
		{"elevons", "{surface: right elevon, moved_by: {aileron: 0.5, elevator: 0.5}, corrects: [roll, pitch]}",
			"tail raised: right elevon up, left wing raised: right elevon down,"},
		{"a V-tail", "{surface: left tail, moved_by: {elevator: 0.5, rudder: 0.5}, corrects: [pitch, yaw]}",
			"tail raised: left tail up, nose jerked left: left tail rear edge to the right,"},
		{"two motors by the rudder", "{surface: left motor, moved_by: {throttle: 1.0, rudder: 0.2}, corrects: [yaw]}",
			"nose jerked left: left motor faster,"},
		{"the right one of them", "{surface: Right motor, moved_by: {throttle: 1.0, rudder: -0.2}, corrects: [yaw]}",
			"nose jerked left: Right motor slower,"},
		{"another word: only the stick is known", "{surface: foreplane, moved_by: {elevator: 1.0}, corrects: [pitch]}",
			"tail raised: foreplane as the stick has it,"},
		{"both ailerons on one lead", "{surface: ailerons, moved_by: {aileron: 1.0}, corrects: [roll]}",
			"left wing raised: ailerons the left one up, the right one down,"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := starter(t, "  3:\n    surface: motor", "  7: "+c.outputs+"\n  3:\n    surface: motor")
			var got []string
			for _, tilt := range card.New(s, nil, nil).Tilts {
				if strings.HasPrefix(tilt.Output, "output 7") {
					got = append(got, tilt.Tilt+": "+tilt.Surface+" "+tilt.Must+",")
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// glider is a sheet without a throttle.
const glider = `sheet: 1
model: Thermwisp
taps: {main: {kind: bus, carries: heard}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 1000, right: 2000}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2000, forward: 1000}, neutral: 1500}
`

// A glider's card speaks of no motor, and a sheet without a stabiliser of none.
func TestACardOfLittle(t *testing.T) {
	got := lines(read(t, glider), nil)
	for _, never := range []string{"the throttle was once", "motor stops", "correction of", "asks for", "Propeller off"} {
		assert.NotContains(t, got, never)
	}
	assert.Contains(t, got, "The sheet has no throttle.")
	assert.Contains(t, got, "The sheet does not say what happens without a signal.")
}

// What a receiver does without a pilot follows from its presets.
func TestThePresetsAskForAMode(t *testing.T) {
	assert.Contains(t, lines(starter(t), nil), "together these ask for PLAIN")
	assert.Contains(t, lines(starter(t, "    aid: 1040", "    aid: third"), nil), "together these ask for UPRIGHT")
	assert.NotContains(t, lines(starter(t, "    aid: 1040 ", "    aid: hold "), nil), "together these ask for")
}

func TestThePageHasWhatTheLinesHave(t *testing.T) {
	s := starter(t, "model: Reedwing 1400", `model: "Reed <b> & wing"`)
	var page bytes.Buffer
	require.NoError(t, card.New(s, session(s, map[string]claim.Verdict{"order/aileron": claim.VerdictWrong}), nil).WritePage(&page))
	for _, want := range []string{
		"Reed &lt;b&gt; &amp; wing: field card", "<td>aid third</td><td><strong>UPRIGHT</strong></td>", "no clearance to fly",
		`<span class="wrong">SEEN WRONG</span>`, "together these ask for PLAIN", "rear edge to the right", "benchproof drill NAME",
	} {
		assert.Contains(t, page.String(), want)
	}
	assert.NotContains(t, page.String(), "<b>")
	assert.NotContains(t, page.String(), "http", "it needs nothing else")
}

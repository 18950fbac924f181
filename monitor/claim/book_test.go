package claim_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// What changes is reported, with what it was.
func TestChangesAreTold(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	b, now := claim.New(s), unit.Time(0)
	hear := func(kind string, data any) (changes []string) {
		now = now.Add(unit.Second)
		b.See(&event.Event{At: now, From: now, Kind: kind, About: "switch:inner", Data: data}, func(c *claim.Claim, was claim.Verdict) {
			changes = append(changes, c.ID+": "+string(was)+" -> "+string(c.Verdict))
		})
		return changes
	}
	back := event.SwitchData{To: "back", WidthNS: 988_000, Within: true, Signal: event.SignalLive}
	front := event.SwitchData{To: "front", Was: "back", WidthNS: 2_012_000, Within: true, Signal: event.SignalLive}
	const a, b1, answers = "position/inner/back", "position/inner/front", "answers/controls: open -> seen right"
	assert.Empty(t, hear(event.SwitchMoved, back), "it never moved")
	assert.Equal(t, []string{answers, a + ": open -> seen right", b1 + ": open -> seen right"}, sorted(hear(event.SwitchMoved, front)))
	assert.Empty(t, hear(event.SwitchMoved, back), "no change")
	assert.Equal(t, []string{a + ": seen right -> stale", b1 + ": seen right -> stale"}, sorted(hear(event.Reopened, event.ReopenData{What: "inner"})))
	assert.Empty(t, hear(event.Reopened, event.ReopenData{What: "inner"}), "stale already")
	assert.Empty(t, hear(event.SwitchMoved, back), "it is to be worked anew")
	assert.Equal(t, []string{a + ": stale -> seen right", b1 + ": stale -> seen right"}, sorted(hear(event.SwitchMoved, front)))
}

func sorted(list []string) []string { slices.Sort(list); return list }

// Wrong stays, keeps its own evidence alone, and is as before once it is reopened.
func TestWrongUntilReopened(t *testing.T) {
	c := starter(t)
	c.answers()
	open := c.claim("neutral/aileron").Sentence
	c.did("neutral/sticks", nil)
	right := c.claim("neutral/aileron").Evidence
	require.Len(t, right, 1)
	c.did("neutral/sticks", map[int][]float64{1: {1520}})
	k := c.claim("neutral/aileron")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Equal(t, []event.Span{{From: c.now.Add(-200 * unit.Millisecond), To: c.now}}, k.Evidence)
	said := k.Sentence
	c.did("neutral/sticks", nil)
	assert.Equal(t, claim.VerdictWrong, c.verdict("neutral/aileron"))
	assert.Equal(t, said, c.claim("neutral/aileron").Sentence)
	// Not by way of a checkpoint, which keeps what was said, not what was claimed.
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	b := claim.New(s)
	raw, err := json.Marshal(c.book)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, b))
	b.See(&event.Event{Kind: event.Reopened, Data: event.ReopenData{What: "aileron"}}, func(*claim.Claim, claim.Verdict) {})
	for _, k := range b.Claims() {
		if k.ID == "neutral/aileron" {
			assert.Equal(t, claim.VerdictOpen, k.Verdict)
			assert.Equal(t, open, k.Sentence)
			assert.Empty(t, k.Evidence)
			assert.Empty(t, k.Figures)
		}
	}
}

// One span is kept once, however often it is found.
func TestOneSpanIsOneEvidence(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	b := claim.New(s)
	for _, w := range []unit.Width{2_012_000, 988_000, 988_000, 988_000} {
		b.See(&event.Event{At: 5, From: 3, Kind: event.SwitchMoved, About: "switch:inner", Data: event.SwitchData{
			To: "back", WidthNS: w, Within: true, Signal: event.SignalLive,
		}}, func(*claim.Claim, claim.Verdict) {})
	}
	for _, k := range b.Claims() {
		if k.ID == "position/inner/back" {
			assert.Equal(t, []event.Span{{From: 3, To: 5}}, k.Evidence)
		}
	}
}

// What was seen is not made unclear again by an answer that shows nothing.
func TestUnclearIsSaidOfOpenClaimsOnly(t *testing.T) {
	c := starter(t)
	c.loses(func(*event.LossData) {})
	said := c.claim("failsafe/teach").Sentence
	require.Equal(t, claim.VerdictRight, c.verdict("failsafe/teach"))
	c.loses(func(d *event.LossData) {
		d.Channels[14] = event.LossChannel{Class: event.LossUnclear, WasNS: 988_000, NowNS: 988_000}
	})
	assert.Equal(t, said, c.claim("failsafe/teach").Sentence)
}

func TestDigitalChannelsHaveNoRail(t *testing.T) {
	c := open(t, "sheet: 1\nmodel: M\nchannels:\n  8: {name: a, kind: fixed, value: 1500}\n  9: {name: b, kind: switch, positions: {back: 988, front: 2012}}\n"+
		"  17: {name: c, kind: switch, positions: {back: 988, front: 2012}}\n")
	var clips []string
	for _, k := range c.book.Claims() {
		if strings.HasPrefix(k.ID, "clip/") {
			clips = append(clips, k.ID)
		}
	}
	assert.Equal(t, []string{"clip/b"}, clips)
}

func TestAStateFitsItsSheetOnly(t *testing.T) {
	sheetOf := func(name string) *court {
		return open(t, "sheet: 1\nmodel: M\nchannels:\n  9: {name: "+name+", kind: switch, positions: {back: 988, front: 2012}}\n")
	}
	raw, err := json.Marshal(sheetOf("a").book)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, sheetOf("a").book))
	require.ErrorContains(t, json.Unmarshal(raw, sheetOf("b").book), `got "position/a/back", want "position/b/back"`)
	require.ErrorContains(t, json.Unmarshal(raw, starter(t).book), "want")
	require.ErrorContains(t, json.Unmarshal(raw, starter(t).book), "judges")
	require.ErrorContains(t, json.Unmarshal([]byte(`{}`), sheetOf("a").book), "got 0 claims and 0 judges")
}

// A claim that is open was looked at where something bore on it, until it is reopened.
func TestAnOpenClaimWasLookedAtOrNot(t *testing.T) {
	c := starter(t)
	lookedAt := func() bool { return c.claim("position/inner/back").LookedAt }
	assert.False(t, lookedAt())
	open := c.claim("position/inner/back").Sentence
	c.stands("inner", 988)
	require.Equal(t, claim.VerdictOpen, c.verdict("position/inner/back"), "it never moved")
	assert.True(t, lookedAt())
	assert.False(t, c.claim("position/outer/back").LookedAt)
	c.reopens("inner")
	assert.False(t, lookedAt(), "only what comes now counts")
	assert.Equal(t, open, c.claim("position/inner/back").Sentence)
	c.toAndFro("inner")
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/back"))
	assert.True(t, lookedAt())
}

// A change of the papers makes stale what rests on it, and that alone.
func TestPapersReopen(t *testing.T) {
	topics := claim.Topics(open(t, travelled).sheet)
	for _, row := range event.PaperRows() {
		assert.True(t, row.Reopens == "" || slices.Contains(topics, row.Reopens), "%s reopens %s", row.Name, row.Reopens)
	}
	c := open(t, travelled)
	c.hear(event.OutputReached, "output:1", reachedAt(0, true, "plain"))
	c.hear(event.OutputReached, "output:1", reachedAt(0, false, "plain"))
	entry := func(name, reopens string) {
		c.hear(event.PapersChanged, "session", event.PapersData{Paper: event.Paper{Entry: name}, Reopens: reopens})
	}
	entry("throws", "")
	assert.Equal(t, claim.VerdictRight, c.verdict("ends/output:1"))
	entry("learned", claim.TopicOutputs)
	assert.Equal(t, claim.VerdictStale, c.verdict("ends/output:1"))
}

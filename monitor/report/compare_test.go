package report_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/sheet/sheettest"
)

// narrow is the starter's sheet with a window whose edge lies just so far from
// inner back that the margin holds.
func narrow() []byte {
	s := strings.Replace(string(sheettest.TwoSwitches()), "inner: [0, 1300]", "inner: [0, 1094]", 1)
	return []byte(strings.Replace(s, "inner: [1300, 1700]", "inner: [1094, 1700]", 1))
}

func compared(t *testing.T, then, now *sittingPlan) *compare.Comparison {
	t.Helper()
	dir := t.TempDir()
	then.wall, now.wall = begun, begun+day
	a, b := whole(t, dir, "then", then), whole(t, dir, "now", now)
	was, err := report.Load(t.Context(), a)
	require.NoError(t, err)
	is, err := report.Load(t.Context(), b)
	require.NoError(t, err)
	c, err := compare.Compare("then", was, "now", is)
	require.NoError(t, err)
	return c
}

// A neutral that went 6 µs is still right by the sheet, and a margin is lost by a
// position that is still right; both are found, and nothing else, whatever the
// hands.
func TestAPlantedShiftAndALostMarginAreFoundAndNothingElse(t *testing.T) {
	for seed := range uint64(3) {
		c := compared(t, &sittingPlan{sheet: narrow(), seed: seed, setup: "hands steady\n"},
			&sittingPlan{sheet: narrow(), seed: seed + 100, setup: "hands steady\nfault offset elevator 6\nfault lands inner back 998\n"})
		require.True(t, c.Worse())
		require.Len(t, c.Lost, 1, "seed %d: %+v", seed, c.Lost)
		assert.Equal(t, "margin/damping/back", c.Lost[0].Claim)
		require.Len(t, c.Lost[0].Because, 2)
		assert.Equal(t, int64(105_375), c.Lost[0].Because[0].Then)
		assert.Equal(t, "position/inner/back", c.Lost[0].Because[1].Claim, "and why")
		require.Len(t, c.Moved, 1, "seed %d: %+v", seed, c.Moved)
		assert.Equal(t, "neutral/elevator", c.Moved[0].Claim)
		assert.Equal(t, "width_ns", c.Moved[0].Figure)
		assert.InDelta(t, 6_000, c.Moved[0].Now-c.Moved[0].Then, 650, "within a count")
		assert.Empty(t, c.Gained)
		assert.Empty(t, c.Other)
		assert.Empty(t, c.Losses)
		assert.Empty(t, append(c.Came, c.Gone...))
		assert.Empty(t, c.Sheet)
	}
}

// Other hands on the same model are no difference.
func TestTheSameModelInOtherHandsIsTheSame(t *testing.T) {
	for seed := range uint64(3) {
		c := compared(t, &sittingPlan{seed: seed}, &sittingPlan{seed: seed + 50, setup: "adapter main clump 16ms\n"})
		assert.True(t, c.Same(), "seed %d: %+v", seed, page.Differences(c))
		assert.False(t, c.Worse())
	}
}

func TestAChangedSheetIsToldByValueAndByClaim(t *testing.T) {
	other := strings.NewReplacer("hold-course:", "hover:", "position: 12 us", "position: 13 us # wider",
		"# the channel's number", "").Replace(string(sheettest.TwoSwitches()))
	c := compared(t, &sittingPlan{seed: 1}, &sittingPlan{seed: 1, sheet: []byte(other)})
	assert.Equal(t, []string{"mode/hover/front/front", "margin/hover/front/front", "passing/hover"}, c.Came)
	assert.Equal(t, []string{"mode/hold-course/front/front", "margin/hold-course/front/front", "passing/hold-course"}, c.Gone)
	assert.Equal(t, []compare.Edit{
		{Path: "tolerance.position", Then: "12 us", Now: "13 us"},
		{Path: "stabiliser.modes.hover.when.1.inner.1", Now: "1700"},
		{Path: "stabiliser.modes.hover.when.1.inner.2", Now: "3000"},
		{Path: "stabiliser.modes.hover.when.1.outer.1", Now: "1500"},
		{Path: "stabiliser.modes.hover.when.1.outer.2", Now: "3000"},
		{Path: "stabiliser.modes.hover.wanted_at.1.inner", Now: "front"},
		{Path: "stabiliser.modes.hover.wanted_at.1.outer", Now: "front"},
		{Path: "stabiliser.modes.hold-course.when.1.inner.1", Then: "1700"},
		{Path: "stabiliser.modes.hold-course.when.1.inner.2", Then: "3000"},
		{Path: "stabiliser.modes.hold-course.when.1.outer.1", Then: "1500"},
		{Path: "stabiliser.modes.hold-course.when.1.outer.2", Then: "3000"},
		{Path: "stabiliser.modes.hold-course.wanted_at.1.inner", Then: "front"},
		{Path: "stabiliser.modes.hold-course.wanted_at.1.outer", Then: "front"},
	}, c.Sheet)
	assert.Empty(t, c.Lost)
	assert.False(t, c.Worse())
}

func TestTwoModelsAreNotCompared(t *testing.T) {
	a, b := kept(t), kept(t)
	b.Model = "Another"
	_, err := compare.Compare("x", a, "y", b)
	require.ErrorIs(t, err, compare.ErrOtherModel)
	assert.EqualError(t, err, `two different models: x is of "Gullpost 900", y of "Another"; compare two sessions of one model`)
}

// From which difference on a figure counts as moved: a count of the bus never, a
// setting always.
func TestWhatCountsAsMoved(t *testing.T) {
	for _, c := range []struct {
		id, figure string
		by         int64
		moved      bool
	}{
		{"neutral/elevator", "width_ns", 625, false},
		{"neutral/elevator", "width_ns", 4_999, false},
		{"neutral/elevator", "width_ns", 5_000, true},
		{"neutral/elevator", "width_ns", -6_000, true},
		{"neutral/elevator", "off_ns", 6_000, false}, // reported by the width
		{"position/inner/back", "width_ns", 1_250, false},
		{"position/inner/back", "width_ns", 3_000, true},
		{"margin/damping/back", "margin_ns", -3_000, true},
		{"failsafe/throttle", "now_ns", 3_000, true},
		{"failsafe/throttle", "was_ns", 300_000, false}, // where the hand had it
		{"failsafe/aileron", "now_ns", 300_000, false},  // it is to hold
		{"failsafe/time", "after_ns", 49_000_000, false},
		{"failsafe/time", "after_ns", 50_000_000, true},
		{"link/missed", "missed_ppm", 999, false},
		{"link/missed", "missed_ppm", 1_000, true},
		{"link/missed", "heard_ns", 1_000_000_000_000, false},
	} {
		a, b := kept(t), kept(t)
		for i := range b.Claims {
			if b.Claims[i].ID == c.id {
				require.Contains(t, b.Claims[i].Figures, c.figure, c.id)
				b.Claims[i].Figures[c.figure] += c.by
			}
		}
		d, err := compare.Compare("a", a, "b", b)
		require.NoError(t, err)
		assert.Equal(t, c.moved, len(d.Moved) == 1, "%s %s by %d: %+v", c.id, c.figure, c.by, d.Moved)
		assert.Equal(t, c.moved, !d.Same())
	}
}

func TestVerdictsThatChanged(t *testing.T) {
	a, b := kept(t), kept(t)
	set := func(r *record.Record, id, verdict string) {
		for i := range r.Claims {
			if r.Claims[i].ID == id {
				r.Claims[i].Verdict = verdict
			}
		}
	}
	set(b, "gain/half", "stale")
	set(a, "gain/span", "seen wrong")
	set(a, "gain/fold", "open")
	set(b, "gain/fold", "seen wrong")
	d, err := compare.Compare("a", a, "b", b)
	require.NoError(t, err)
	require.Len(t, d.Lost, 1)
	require.Len(t, d.Gained, 1)
	require.Len(t, d.Other, 1)
	assert.Equal(t, "gain/half seen right stale", d.Lost[0].Claim+" "+d.Lost[0].Was+" "+d.Lost[0].Is)
	assert.Equal(t, "gain/span", d.Gained[0].Claim)
	assert.Equal(t, "gain/fold", d.Other[0].Claim)
	assert.Equal(t, []string{"gain/fold"}, d.Worsened)
	assert.Equal(t, []string{"gain/half"}, d.NotLookedAt)
	assert.True(t, d.Worse())
}

// Worse is what is seen wrong now and was not: neither what nobody looked at this time nor
// what was as wrong before.
func TestWhatIsWorse(t *testing.T) {
	for _, c := range []struct {
		was, is            string
		worse, notLookedAt bool
	}{
		{"seen right", "seen right", false, false},
		{"seen right", "seen wrong", true, false},
		{"seen right", "open", false, true},
		{"seen right", "stale", false, true},
		{"open", "seen wrong", true, false},
		{"stale", "seen wrong", true, false},
		{"open", "stale", false, false},
		{"seen wrong", "seen wrong", false, false},
		{"seen wrong", "open", false, false},
		{"seen wrong", "seen right", false, false},
	} {
		a, b := kept(t), kept(t)
		a.Claims[0].Verdict, b.Claims[0].Verdict = c.was, c.is
		d, err := compare.Compare("a", a, "b", b)
		require.NoError(t, err)
		assert.Equal(t, c.worse, d.Worse(), "%s, then %s", c.was, c.is)
		assert.Equal(t, c.notLookedAt, len(d.NotLookedAt) == 1, "%s, then %s", c.was, c.is)
	}
}

// The latest earlier session of the same model in which something was heard is the last time.
func TestTheSessionBefore(t *testing.T) {
	dir := t.TempDir()
	short := func(name string, wall int64, sheet []byte) string {
		b := &sittingPlan{sheet: sheet, wall: wall, build: "test"}
		b.do("signal on")
		b.wait(1e9)
		return b.play(t, dir+"/"+name)
	}
	now := short("d", begun, sheettest.TwoSwitches())
	short("a", begun-3*day, sheettest.TwoSwitches())
	want := short("b", begun-2*day, sheettest.TwoSwitches())
	short("c", begun-day, []byte(strings.Replace(string(sheettest.TwoSwitches()), "Gullpost 900", "Another", 1)))
	short("e", begun+day, sheettest.TwoSwitches())
	empty := &sittingPlan{sheet: sheettest.TwoSwitches(), wall: begun - day/2, build: "test"}
	silent := empty.play(t, dir+"/silent")
	newer := short("newer", begun-day/4, sheettest.TwoSwitches())
	require.NoError(t, os.WriteFile(newer+"/record.json", []byte(`{"record":2}`), 0o600))
	r, err := report.Load(t.Context(), now)
	require.NoError(t, err)
	found, err := report.FindBefore(t.Context(), now, r)
	require.NoError(t, err)
	assert.Equal(t, want, found.Folder)
	assert.Equal(t, "Gullpost 900", found.Record.Model)
	require.Len(t, found.PassedOver, 2, "the latest first")
	assert.Equal(t, newer, found.PassedOver[0].Folder)
	assert.Contains(t, found.PassedOver[0].Why, "a newer program wrote this record")
	assert.Equal(t, report.PassedOver{Folder: silent, Why: "nothing was heard in it"}, found.PassedOver[1])
	r, err = report.Load(t.Context(), dir+"/a")
	require.NoError(t, err)
	found, err = report.FindBefore(t.Context(), dir+"/a", r)
	require.NoError(t, err)
	assert.Equal(t, report.Before{}, found)
}

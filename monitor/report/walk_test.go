package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

var toldAll = map[string]string{"power": "reduced", "heights": "1 m", "antennas": "upright", "who": "Ann"}

// walked is a record with one range walk: at each mark so many frames missed in each block.
func walked(told map[string]string, marks map[string][]int64) *record.Record {
	w := record.Walk{Told: told}
	for _, name := range []string{"10 m", "30 m", "50 m"} {
		if blocks, ok := marks[name]; ok {
			m := event.RangeMarkData{Mark: name, Left: true, Frames: int64(286 * len(blocks)), Runs: 1, Blocks: blocks}
			m.ForNS = unit.Duration(len(blocks)) * 2 * unit.Second
			for _, b := range blocks {
				m.Missed += b
			}
			w.Marks = append(w.Marks, m)
		}
	}
	return &record.Record{Model: "M", Sheet: string(sheettest.TwoSwitches()), Walks: []record.Walk{w}}
}

func each(n int, missed int64) (blocks []int64) {
	for range n {
		blocks = append(blocks, missed)
	}
	return blocks
}

func comparedWalks(t *testing.T, then, now *record.Record) *compare.Walk {
	c, err := compare.Compare("then", then, "now", now)
	require.NoError(t, err)
	return c.Walk
}

func TestWalksOfTwoSessions(t *testing.T) {
	then := walked(toldAll, map[string][]int64{"10 m": each(20, 1), "30 m": each(20, 3), "50 m": each(20, 9)})
	now := walked(toldAll, map[string][]int64{"10 m": each(20, 1), "30 m": each(20, 30)})
	w := comparedWalks(t, then, now)
	require.Len(t, w.Marks, 2, "those of both")
	assert.False(t, w.Marks[0].Differs)
	assert.True(t, w.Marks[1].Differs)
	assert.Equal(t, int64(1), w.Marks[1].Thousandths)
	list := w.Sentences()
	assert.Equal(t, "range walk, mark 30 m: 10.48 % missed, 1.04 % then: DIFFERS from that session, more is missed", list[1])
	assert.Contains(t, list[2], "no maker's range check")
	assert.Nil(t, comparedWalks(t, then, &record.Record{Model: "M", Sheet: then.Sheet}))
	less := comparedWalks(t, now, then)
	assert.False(t, less.Marks[1].Differs, "less is missed: nobody is warned of that")
}

// Among many marks one that is a little off is chance.
func TestWalksAreHeldAgainstAllMarks(t *testing.T) {
	a, b := []int64{1, 2, 3, 4, 5, 6, 7, 8}, []int64{4, 5, 6, 7, 8, 9, 10, 11}
	then := walked(toldAll, map[string][]int64{"10 m": a})
	now := walked(toldAll, map[string][]int64{"10 m": b})
	one := comparedWalks(t, then, now).Marks[0]
	assert.True(t, one.Differs, "%d", one.Thousandths)
	then = walked(toldAll, map[string][]int64{"10 m": a, "30 m": a, "50 m": a})
	now = walked(toldAll, map[string][]int64{"10 m": b, "30 m": a, "50 m": a})
	assert.False(t, comparedWalks(t, then, now).Marks[0].Differs)
}

func TestOnlyLikeWithLikeIsCompared(t *testing.T) {
	marks := map[string][]int64{"10 m": each(20, 1)}
	other := map[string]string{"power": "full", "heights": "1 M", "antennas": "upright"}
	w := comparedWalks(t, walked(toldAll, marks), walked(other, marks))
	assert.Equal(t, `only like with like is compared: power was "reduced", is "full"; who was not said`, w.Unlike)
	assert.Empty(t, w.Marks)
	assert.Contains(t, w.Sentences()[1], "no maker's range check")
	w = comparedWalks(t, walked(other, marks), walked(toldAll, marks))
	assert.Equal(t, `only like with like is compared: power was "full", is "reduced"; who was not said`, w.Unlike, "then")
}

// The latest walk of a session counts that has marks.
func TestTheLatestWalkIsCompared(t *testing.T) {
	then, now := walked(toldAll, map[string][]int64{"10 m": each(20, 1)}), walked(toldAll, map[string][]int64{"10 m": each(20, 1)})
	later := walked(toldAll, map[string][]int64{"10 m": each(20, 9)}).Walks[0]
	now.Walks = append(now.Walks, later, record.Walk{Told: toldAll})
	w := comparedWalks(t, then, now)
	require.NotNil(t, w)
	require.Len(t, w.Marks, 1)
	assert.Equal(t, int64(9*1_000_000/286), w.Marks[0].NowPPM)
}

func TestMarksThatCantBeCompared(t *testing.T) {
	for want, change := range map[string]func(m *event.RangeMarkData){
		"nobody said when it was left":     func(m *event.RangeMarkData) { m.Way = true },
		"no frames came for a part of it":  func(m *event.RangeMarkData) { m.NoneNS = 1 },
		"less than two seconds were heard": func(m *event.RangeMarkData) { m.Blocks = nil },
	} {
		for _, changed := range []string{"then", "now"} {
			then := walked(toldAll, map[string][]int64{"10 m": each(20, 1), "30 m": each(20, 3)})
			now := walked(toldAll, map[string][]int64{"10 m": each(20, 9), "30 m": each(20, 30)})
			change(&map[string]*record.Record{"then": then, "now": now}[changed].Walks[0].Marks[0])
			marks := comparedWalks(t, then, now).Marks
			assert.Equal(t, want, marks[0].Why, changed)
			assert.False(t, marks[0].Differs)
			assert.True(t, marks[1].Differs, "the mark behind it is compared")
		}
	}
}

// Somebody who comes back to a mark stands there longer.
func TestAMarkOfTwoStands(t *testing.T) {
	then, now := walked(toldAll, map[string][]int64{"10 m": each(4, 1)}), walked(toldAll, map[string][]int64{"10 m": each(4, 5)})
	now.Walks[0].Marks = append(now.Walks[0].Marks, now.Walks[0].Marks[0])
	w := comparedWalks(t, then, now)
	require.Len(t, w.Marks, 1)
	assert.Equal(t, int64(5*1_000_000/286), w.Marks[0].NowPPM)
	now.Walks[0].Marks[1].Way = true
	assert.Equal(t, "nobody said when it was left", comparedWalks(t, then, now).Marks[0].Why)
	now.Walks[0].Marks[1].Way = false
	for i := range now.Walks[0].Marks {
		now.Walks[0].Marks[i].Blocks = []int64{3, 5}
	}
	then.Walks[0].Marks[0].Blocks = each(3, 1)
	assert.True(t, comparedWalks(t, then, now).Marks[0].Differs, "two blocks of each stand, four against three")
}

func TestWorseWantsThreeEarlierWalks(t *testing.T) {
	at := func(missed int64) *record.Record {
		return walked(toldAll, map[string][]int64{"10 m": each(30, missed)})
	}
	assert.Empty(t, against(at(40), []*record.Record{at(2), at(3)}))
	unlike := walked(map[string]string{"power": "full"}, map[string][]int64{"10 m": each(30, 2)})
	assert.Empty(t, against(at(40), []*record.Record{at(2), at(3), unlike}))
	assert.Equal(t, []string{"range walk, mark 10 m: 13.98 % missed, WORSE than in 3 earlier walks"}, against(at(40), []*record.Record{at(2), at(3), at(2)}))
	assert.Equal(t, []string{"range walk, mark 10 m: 1.04 % missed, no more than in 3 earlier walks may have by chance"},
		against(at(3), []*record.Record{at(2), at(3), at(2)}))

	way, silent := at(40), at(40)
	way.Walks[0].Marks[0].Way = true
	silent.Walks[0].Marks[0].NoneNS = 1
	for _, untold := range []*record.Record{way, silent} {
		assert.Empty(t, against(untold, []*record.Record{at(2), at(3), at(2)}), "what can't be compared with one can't be with three")
		assert.Empty(t, against(at(40), []*record.Record{at(2), at(3), untold}))
	}
	c, err := compare.Compare("then", at(2), "now", at(40))
	require.NoError(t, err)
	c.Walk.Against(at(40), []*record.Record{at(2), at(3), at(2)})
	assert.Equal(t, []string{"more was missed on the range walk than in earlier ones, at 10 m"}, c.MoreMissed())
	words := strings.Join(page.Differences(c), "\n")
	assert.Contains(t, words, "In all: no claim got worse, but more was missed on the range walk than in earlier ones, at 10 m.")
	assert.Contains(t, words, "no maker's range check")
}

// against is what earlier walks say of the marks of one.
func against(now *record.Record, earlier []*record.Record) []string {
	var w compare.Walk
	w.Against(now, earlier)
	return w.Earlier
}

// The page has what was missed at each mark, how long was stood there and how long it takes, and says what it is not.
func TestAWalkInPrint(t *testing.T) {
	_, r, _ := smallSitting(t)
	one := *r
	one.Walks = walked(toldAll, map[string][]int64{"10 m": each(20, 1), "30 m": each(20, 3), "50 m": each(20, 0)}).Walks
	marks := one.Walks[0].Marks
	marks[0].NeedNS, marks[0].Longest, marks[0].ForNS = 80*unit.Second, 4, 40*unit.Second
	marks[1].Way, marks[2].NoneNS = true, 2*unit.Second
	text := printed(t, &one, nil, page.Options{})
	words := plain(textOf(t, text[strings.Index(text, "<h3>Range walk</h3>"):]))
	for _, want := range []string{
		"power: reduced; heights: 1 m; antennas: upright; who: Ann", "Mark Missed Most in a row Stood Needed",
		"10 m 0.34 % 4 40.00 s 1:20.000", "the way to the next mark is in it", "no frames for 2.00 s", "It is no maker's range check",
	} {
		assert.Contains(t, words, want)
	}
}

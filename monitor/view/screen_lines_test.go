package view_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/view"
)

// at is an event that became a fact at one time and began at another, both in ms.
func at(ms, from int64, kind, about string, data any) *event.Event {
	const n = int64(unit.Millisecond)
	return &event.Event{At: unit.Time(ms * n), From: unit.Time(from * n), Kind: kind, About: about, Data: data}
}

func gap(ms, frames int64) *event.Event {
	return at(ms, ms, event.WireGap, "tap:main", event.FramesMissingData{Frames: frames, SpanNS: 14 * unit.Millisecond})
}

func asked(ms, from int64, mode string) *event.Event {
	return at(ms, from, event.ModeAsked, "stabiliser", event.ModeData{Tap: "main", Mode: mode})
}

func shown(l *view.Lines, events ...*event.Event) string {
	var s strings.Builder
	for _, e := range events {
		s.WriteString(l.Event(e))
	}
	return s.String()
}

func TestLinesOfAScreen(t *testing.T) {
	verdict := func(verdict, sentence string) *event.Event {
		return at(2000, 1000, event.VerdictChanged, "claim:mode/damping/second", event.VerdictData{Verdict: verdict, Sentence: sentence})
	}
	silent := at(3000, 2900, event.BusSilent, "tap:main", event.SilentData{LimitNS: 100 * unit.Millisecond})
	for _, c := range []struct {
		name    string
		columns int
		paint   view.Paint
		events  []*event.Event
		want    string
	}{
		{"wrong stands out in word and mark", 80, false,
			[]*event.Event{verdict(event.VerdictWrong, "it is off"), verdict(event.VerdictRight, "it is on")},
			" 0:02.000 ! SEEN WRONG: it is off\n 0:02.000   seen right: it is on\n"},
		{"and in colour", 80, true,
			[]*event.Event{verdict(event.VerdictWrong, "it is off"), verdict(event.VerdictRight, "it is on"), silent, asked(4000, 4000, "plain")},
			"\x1b[1;31m 0:02.000 ! SEEN WRONG: it is off\x1b[0m\n 0:02.000   \x1b[32mseen right\x1b[0m: it is on\n" +
				"\x1b[33m 0:02.900 ! main: SILENT, no frame for 0.10 s\x1b[0m\n 0:04.000   the bus asks for PLAIN\n"},
		{"each line of what is wrapped", 30, true, []*event.Event{verdict(event.VerdictWrong, "it is far off")},
			"\x1b[1;31m 0:02.000 ! SEEN WRONG: it is\x1b[0m\n\x1b[1;31m            far off\x1b[0m\n"},
		{"wrapped at words, behind the date", 40, false, []*event.Event{verdict(event.VerdictRight, "at aid second it is 149.6 µs inside its window")},
			" 0:02.000   seen right: at aid second it\n            is 149.6 µs inside its\n            window\n"},
		{"dates never go back", 80, false,
			[]*event.Event{asked(2000, 1900, "plain"), asked(2155, 1850, "damping"), asked(2200, 2100, "plain"), asked(2300, 2299, "upright")},
			" 0:01.900   the bus asks for PLAIN\n 0:02.155   the bus asks for DAMPING (began 0:01.850)\n" +
				" 0:02.299   the bus asks for UPRIGHT\n"},
		{"hours", 80, false, []*event.Event{asked(3_723_000, 3_723_000, "plain")}, "1:02:03.000   the bus asks for PLAIN\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, shown(&view.Lines{Columns: c.columns, Paint: c.paint}, c.events...))
		})
	}
}

func TestRepeatsAreFolded(t *testing.T) {
	const n = unit.Time(unit.Millisecond)
	l := view.Lines{Columns: 100}
	assert.Equal(t, " 0:01.000 ! main: 1 frame never came, the bus left a gap of 14.0 ms\n", shown(&l, gap(1000, 1)))
	assert.Empty(t, shown(&l, gap(2000, 1), gap(3000, 2), gap(4000, 1)), "within a short time, whatever the figures")
	assert.Equal(t, " 0:04.500   the bus asks for PLAIN\n", shown(&l, asked(4500, 4500, "plain")), "another sentence is not held back")
	assert.Empty(t, l.Due(5999*n))
	assert.Equal(t, " 0:04.500 ! main: 1 frame never came, the bus left a gap of 14.0 ms (3 times since 0:02.000)\n", l.Due(6000*n))
	assert.Empty(t, shown(&l, gap(7000, 1)), "what goes on is told after twice as long")
	assert.Empty(t, l.Due(15_999*n))
	assert.Equal(t, " 0:07.000 ! main: 1 frame never came, the bus left a gap of 14.0 ms\n", shown(&l, gap(16_500, 3)),
		"one alone is told as it was; the next is held back again")
	assert.Equal(t, " 0:16.500 ! main: 3 frames never came, the bus left a gap of 14.0 ms\n", l.Rest(), "nothing is left untold")
	assert.Empty(t, l.Rest())
}

// What was judged, measured, asked for by a drill or said by a person is never folded, and
// nor is what another tap, output or channel did.
func TestWhatIsNoRepeatIsNotFolded(t *testing.T) {
	twice := func(e *event.Event) []*event.Event { return []*event.Event{e, e} }
	for name, events := range map[string][]*event.Event{
		"a verdict":      twice(at(1, 1, event.VerdictChanged, "claim:x", event.VerdictData{Verdict: event.VerdictWrong, Sentence: "it is off"})),
		"a mark":         twice(at(1, 1, event.Mark, "session", event.MarkData{Text: "now"})),
		"a lost link":    twice(at(1, 1, event.LinkLost, "tap:main", event.LinkData{})),
		"another output": {at(1, 1, event.OutputSilent, "output:1", event.SilentData{}), at(1, 1, event.OutputSilent, "output:2", event.SilentData{})},
		"another channel": {at(1, 1, event.ValueSpiked, "tap:main", event.ValueSpikedData{Channel: 1, Frames: 1}),
			at(1, 1, event.ValueSpiked, "tap:main", event.ValueSpikedData{Channel: 2, Frames: 1})},
		"much later": {gap(1000, 1), gap(6000, 1)},
	} {
		t.Run(name, func(t *testing.T) {
			l := view.Lines{Columns: 200}
			assert.Equal(t, 2, strings.Count(shown(&l, events...), "\n"))
			assert.Empty(t, l.Rest())
		})
	}
}

// However often something comes, and whatever comes between, all of it is counted.
func TestFoldingLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := view.Lines{Columns: 200}
		told, want, ms := 0, 0, int64(0)
		count := regexp.MustCompile(`\((\d+) times since`)
		tally := func(lines string) {
			for line := range strings.Lines(lines) {
				n := 1
				if m := count.FindStringSubmatch(line); m != nil {
					n, _ = strconv.Atoi(m[1])
				}
				told += n
			}
		}
		for range rapid.IntRange(0, 60).Draw(t, "events") {
			ms += rapid.Int64Range(0, 4000).Draw(t, "later")
			if rapid.Bool().Draw(t, "tick") {
				tally(l.Due(unit.Time(ms * int64(unit.Millisecond))))
				continue
			}
			want++
			tally(l.Event(rapid.SampledFrom([]*event.Event{gap(ms, 1), gap(ms, 9), asked(ms, ms, "plain"), asked(ms, max(0, ms-500), "damping")}).Draw(t, "event")))
		}
		tally(l.Rest())
		require.Equal(t, want, told)
	})
}

// A pipe gets one line for each event, with dates that never go back.
func TestPlainLines(t *testing.T) {
	var lines view.Lines
	at := func(said, began unit.Time) string {
		return lines.Plain(&event.Event{At: said, From: began, Kind: event.BusSilent, About: "tap:main", Data: event.SilentData{LimitNS: 1_000_000_000}})
	}
	assert.Equal(t, " 0:03.000  main: SILENT, no frame for 1.00 s\n", at(4_000_000_000, 3_000_000_000))
	assert.Equal(t, " 0:05.000  main: SILENT, no frame for 1.00 s (began 0:02.000)\n", at(5_000_000_000, 2_000_000_000))
}

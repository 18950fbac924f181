package draft_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/draft"
	"benchproof.example/monitor/sheet"
)

// equalsTruth wants the sheet of a talk that is over to be as the model is.
func (b *bench) equalsTruth(t *testing.T) *sheet.Sheet {
	text, err := b.talk.Sheet()
	require.NoError(t, err)
	s, _, err := sheet.ReadNew("draft", text)
	require.NoError(t, err)
	m := b.person.model
	assert.Empty(t, append(m.differs(s), m.modesDiffer(s)...), "%s\n%s", strings.Join(b.said, "\n"), text)
	return s
}

// heard is what was said since something was noted last.
func (b *bench) heard(from int) string { return strings.Join(b.said[from:], "\n") }

func TestADeadTapInTheMiddle(t *testing.T) {
	b := newBench(t, tenModels()[0], 1, 0)
	b.talksUntil("elevator:back")
	from := len(b.said)
	b.do("stick elevator 2000 over 400ms")
	b.run(800 * time.Millisecond)
	b.do("release elevator")
	b.run(800 * time.Millisecond)
	b.do("mute main for 3s")
	b.run(4 * time.Second)
	assert.Contains(t, b.heard(from), "Nothing came from the bus for a while.")
	require.Equal(t, "elevator:back", b.talk.Asks().ID)
	b.do("stick elevator 2000 over 400ms")
	b.run(800 * time.Millisecond)
	b.do("release elevator")
	b.run(2 * time.Second)
	require.Equal(t, "elevator:back", b.talk.Asks().ID, "what was before the gap does not count")
	b.talks()
	b.equalsTruth(t)
}

func TestNoiseAndALinkThatMisses(t *testing.T) {
	for seed := range seeds() {
		m := tenModels()[0]
		m.setup = "receiver main preset period 9ms\nlink main loss 3% burst 3\nwire main missing 0.5% damage 0.2% noise 30\nadapter main clump 16ms\n"
		b := newBench(t, m, 40+seed, 20)
		b.talks()
		b.equalsTruth(t)
	}
}

func TestASwitchThatNeverComes(t *testing.T) {
	b := newBench(t, tenModels()[0], 2, 0)
	b.talksUntil("mode-1:places")
	b.run(20 * time.Second)
	require.Equal(t, "mode-1:places", b.talk.Asks().ID)
	b.types("")
	assert.Contains(t, b.heard(len(b.said)-1), "Nothing has moved yet.")
	b.types("s")
	b.talks()
	text, err := b.talk.Sheet()
	require.NoError(t, err)
	s, _, err := sheet.ReadNew("draft", text)
	require.NoError(t, err)
	assert.Nil(t, s.Stabiliser)
	_, there := s.Channel(7)
	assert.False(t, there)
	assert.Len(t, s.Outputs, 4)
}

// Two sticks that always go as far are a mix in the transmitter: it is not guessed which one is meant.
func TestTwoChannelsThatMoveAtOnce(t *testing.T) {
	m := tenModels()[0]
	m.setup += "fault mix elevator rudder 100%\n"
	b := newBench(t, m, 3, 0)
	b.talksUntil("elevator:back")
	from := len(b.said)
	for range 2 {
		b.follows(b.talk.Asks(), false)
		require.Equal(t, "elevator:back", b.talk.Asks().ID)
	}
	assert.Contains(t, b.heard(from), "Channels 1 and 4 went as far.")
}

// A mix that is plainly less is found, and asked about.
func TestAMixInTheTransmitter(t *testing.T) {
	for words, wanted := range map[string]int{"yes": 1, "no": 0} {
		m := tenModels()[0]
		m.setup += "fault mix aileron rudder 20%\n"
		m.answers["mix:aileron:4"] = words
		b := newBench(t, m, 4, 0)
		b.talks()
		s := b.equalsTruth(t)
		require.Len(t, s.Mixes, wanted)
		for _, x := range s.Mixes {
			assert.Equal(t, []int{2, 4}, []int{x.From, x.To})
			assert.InDelta(t, 112_000, int64(x.AtMost), 3_000)
		}
		text, _ := b.talk.Sheet()
		assert.Equal(t, wanted == 0, strings.Contains(string(text), "a mix in the transmitter, which is not wanted"))
	}
}

// What starts limit learning is never asked for, and where it moves that is said.
func TestLimitLearningIsNeverAskedFor(t *testing.T) {
	for _, m := range tenModels() {
		if m.teach == 0 {
			continue
		}
		b := newBench(t, m, 5, 0)
		asked := 0
		b.before = func(q *draft.Question) {
			assert.NotEqual(t, "teach", q.Control)
			if q.Wire() {
				asked++
				assert.Equal(t, []int{m.teach}, q.Never)
			}
		}
		b.talksUntil("aileron:left")
		from := len(b.said)
		b.do("press teach for 600ms")
		b.run(2 * time.Second)
		b.do("press teach for 600ms")
		b.run(2 * time.Second)
		assert.Contains(t, b.heard(from), "which starts limit learning: let it be", m.name)
		require.Equal(t, "aileron:left", b.talk.Asks().ID)
		b.talks()
		assert.Greater(t, asked, 6)
		b.equalsTruth(t)
	}
}

// A draft may be broken off before any question, and goes on there.
func TestBrokenOffAnywhere(t *testing.T) {
	p, _ := protocols.Find("")
	for _, m := range tenModels()[:4] {
		b := newBench(t, m, 6, 10)
		b.before = func(q *draft.Question) {
			if q.ID == "cautions" {
				return
			}
			text, err := b.talk.Save()
			require.NoError(t, err)
			b.talk, err = draft.Resume(p, text)
			require.NoError(t, err)
			require.Equal(t, "cautions", b.talk.Asks().ID, "the bench may be another one")
			b.types("yes")
			require.Equal(t, q.ID, b.talk.Asks().ID)
		}
		b.talks()
		b.equalsTruth(t)
	}
	for _, text := range []string{"", "{}", `{"format":2}`, "x"} {
		_, err := draft.Resume(p, []byte(text))
		require.ErrorContains(t, err, "a draft that was broken off", text)
	}
}

func TestBackTakesAnAnswerBack(t *testing.T) {
	b := newBench(t, tenModels()[0], 7, 0)
	b.types("b")
	assert.Contains(t, b.heard(0), "There is nothing before this.")
	b.types("s")
	assert.Contains(t, b.heard(0), "This can't be skipped.")
	b.types("no")
	require.Equal(t, "cautions", b.talk.Asks().ID)
	b.talksUntil("elevator:forward")
	b.types("b")
	require.Equal(t, "elevator:back", b.talk.Asks().ID)
	b.types("b")
	require.Equal(t, "gain:none", b.talk.Asks().ID)
	b.types("middle")
	assert.Contains(t, b.heard(len(b.said)-1), `Got "middle", want one of: low, high.`)
	b.talks()
	b.equalsTruth(t)
}

// Back and forward on two channels contradict each other: both are asked for again.
func TestEndsThatContradictEachOther(t *testing.T) {
	b := newBench(t, tenModels()[0], 8, 0)
	b.talksUntil("elevator:forward")
	from := len(b.said)
	for range 2 {
		b.do("stick rudder 1000 over 400ms")
		b.run(900 * time.Millisecond)
		b.do("release rudder")
		b.run(900 * time.Millisecond)
	}
	assert.Contains(t, b.heard(from), "Both once more, please.")
	require.Equal(t, "elevator:back", b.talk.Asks().ID)
	b.talks()
	b.equalsTruth(t)
}

var marked = regexp.MustCompile(`# (measured|said|assumed)(:.*)?$`)

// Each line of a drafted sheet that says something says where that comes from.
func TestEachLineSaysWhereItComesFrom(t *testing.T) {
	heads := regexp.MustCompile(`^ *(sheet: 1|(taps|channels|gain|stabiliser|modes|gestures|failsafe|heard|leads|outputs|mixes_wanted|assumed):)$`)
	for _, m := range tenModels() {
		b := newBench(t, m, 9, 0)
		b.talks()
		text, err := b.talk.Sheet()
		require.NoError(t, err)
		for _, line := range strings.Split(string(text), "\n") {
			if line != "" && line[0] != '#' && !heads.MatchString(line) {
				assert.Regexp(t, marked, line)
			}
		}
	}
}

// What nobody said is assumed, and marked so.
func TestWhatIsAssumedIsMarked(t *testing.T) {
	m := tenModels()[0]
	m.answers = usual(map[string]string{"model": "", "teach": "14", "teach:pressed": "", "failsafe:throttle": "", "failsafe:flag": ""})
	b := newBench(t, m, 10, 0)
	b.talks()
	text, err := b.talk.Sheet()
	require.NoError(t, err)
	for _, line := range []string{`model: "My model"`, "pressed: 1960", "windows: {from: guess}", "throttle: {at_most: 1000}",
		"flag: optional", "within: 2s", "teach: rest"} {
		assert.Regexp(t, regexp.QuoteMeta(line)+` +# assumed`, string(text))
	}
	assert.Regexp(t, `rest: 1040 +# measured`, string(text))
	s, _, err := sheet.ReadNew("draft", text)
	require.NoError(t, err)
	for _, path := range []string{"channels.14.pressed", "stabiliser.windows.from", "failsafe.heard.throttle", "failsafe.flag",
		"failsafe.within", "outputs.1.corrects"} {
		assert.True(t, s.Assumes(path), path)
	}
	assert.False(t, s.Assumes("channels.1."))
}

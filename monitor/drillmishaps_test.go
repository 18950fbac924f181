package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// mishap is a bench on which a drill goes astray: frames made by hand, whose
// heartbeat moves as long as the transmitter is on.
type mishap struct {
	bench  *monitor.Engine
	now    fact.Time
	frame  servobus.Frame
	on     bool // the transmitter
	said   []string
	losses []fact.LossData
}

func newMishap(sh *sheet.Sheet) *mishap {
	m := &mishap{on: true}
	for i := range m.frame.Counts {
		m.frame.Counts[i] = 600
	}
	m.bench = monitor.New(sh, m.hears)
	in := begin("main")
	m.bench.Step(&in)
	m.put(fact.TapUp, `{"port":"by hand"}`)
	return m
}

func (m *mishap) hears(e *fact.Event, _ int64) {
	switch d := e.Data.(type) {
	case fact.LossData:
		m.losses = append(m.losses, d)
	case fact.DrillEndedData:
		m.said = append(m.said, strings.TrimSuffix(d.How+": "+d.Why, ": "))
	case fact.ReasonData:
		if e.Kind == fact.DrillRefused {
			m.said = append(m.said, "refused: "+d.Why)
		}
	case monitor.FaultData:
		m.said = append(m.said, "fault: "+d.Fault)
	}
}

func (m *mishap) put(kind fact.Kind, data string) {
	in := fact.Input{At: m.now, Kind: kind, Data: []byte(data)}
	if kind == fact.TapUp || kind == fact.TapDown || kind == fact.Bytes {
		in.Tap = 1
	}
	m.bench.Step(&in)
}

func (m *mishap) beat() {
	m.put(fact.Beat, string(binary.BigEndian.AppendUint64(nil, uint64(m.now))))
}

// quiet lets seconds pass in which no frame comes.
func (m *mishap) quiet(seconds int) {
	for range seconds {
		m.now += fact.Second
		m.beat()
	}
}

// frames lets seconds of them come.
func (m *mishap) frames(seconds int) {
	const each = 125
	for range seconds {
		for range each {
			m.now += fact.Second / each
			if m.on {
				m.frame.Counts[15] = uint16(600 + (int64(m.now/fact.Millisecond)/8)%250*2)
			}
			var raw [servobus.FrameLen]byte
			m.frame.Encode(&raw)
			m.put(fact.Bytes, string(raw[:]))
		}
		m.beat()
	}
}

func (m *mishap) do(name, do string) {
	data, _ := json.Marshal(fact.Step{Drill: name, Do: do})
	m.put(fact.DrillStep, string(data))
}

// until answers the failsafe drill up to a prompt, whatever the wire shows.
func (m *mishap) until(prompt string, pass func(int)) {
	m.do(fact.FailsafeDrill, fact.StepBegin)
	m.do(fact.FailsafeDrill, fact.StepConfirm)
	for range 8 {
		stands := m.bench.View().Prompt
		if fact.PromptStep(stands) == prompt {
			return
		}
		pass(2)
		if m.bench.View().Prompt == stands { // the wire did not answer it
			m.do(fact.FailsafeDrill, fact.StepDone)
		}
	}
}

const unanswered = "timed out: nothing was answered for 2 minutes"

// Each of these ends in a sentence, and tells no loss that was none.
func TestFailsafeDrillsThatGoAstray(t *testing.T) {
	const abandoned = "abandoned"
	for _, x := range []struct {
		name string
		play func(m *mishap)
		want []string
	}{
		{"no frame was ever heard, nobody answers", func(m *mishap) {
			m.until(fact.PromptAway, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"no frame was ever heard, all is said to be done", func(m *mishap) {
			m.until(fact.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"the bus had been silent before", func(m *mishap) {
			m.frames(3)
			m.quiet(5)
			m.until(fact.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"begun while the tap is down", func(m *mishap) {
			m.frames(3)
			m.put(fact.TapDown, "unplugged")
			m.until(fact.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"the tap goes down before off", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptOff, m.frames)
			m.put(fact.TapDown, "unplugged")
			m.quiet(200)
		}, []string{"interrupted: the tap main went away: unplugged"}},
		{"the tap goes down while nothing is lost", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptSettle, m.frames)
			m.frames(2)
			m.put(fact.TapDown, "unplugged")
			m.quiet(200)
		}, []string{"interrupted: the tap main went away: unplugged"}},
		{"and comes up again", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptSettle, m.frames)
			m.put(fact.TapDown, "unplugged")
			m.put(fact.TapUp, `{"port":"by hand"}`)
			m.frames(5)
			m.do(fact.FailsafeDrill, fact.StepDone)
		}, []string{"interrupted: the tap main went away: unplugged", "refused: no drill is under way: begin it first, with benchproof drill failsafe"}},
		{"begun twice", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptAway, m.frames)
			m.do(fact.FailsafeDrill, fact.StepBegin)
			m.frames(1)
			m.do(fact.FailsafeDrill, fact.StepAbandon)
		}, []string{"refused: the drill failsafe is under way: finish it, or abandon it with q", abandoned}},
		{"another one is begun meanwhile", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptSettle, m.frames)
			m.do("mode", fact.StepBegin)
			m.do(fact.FailsafeDrill, fact.StepAbandon)
		}, []string{"refused: the drill failsafe is under way: finish it, or abandon it with q", abandoned}},
		{"left alone for an hour", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptAway, m.frames)
			m.quiet(3600)
		}, []string{unanswered}},
		{"nobody switches off", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptOff, m.frames)
			m.frames(125)
		}, []string{unanswered}},
		{"left alone before its cautions", func(m *mishap) {
			m.do(fact.FailsafeDrill, fact.StepBegin)
			m.quiet(3600)
		}, []string{unanswered}},
		{"abandoned between off and on, nothing lost", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptOn, m.frames)
			m.do(fact.FailsafeDrill, fact.StepAbandon)
			m.frames(5)
		}, []string{abandoned}},
		{"the sitting ends in the middle", func(m *mishap) {
			m.frames(3)
			m.until(fact.PromptSettle, m.frames)
			m.put(fact.End, "")
		}, []string{"interrupted: the sitting is over"}},
		{"a step that is no JSON", func(m *mishap) {
			m.put(fact.DrillStep, "{")
		}, []string{"refused: got a drill step that is not readable: unexpected end of JSON input"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			m := newMishap(starter(t))
			x.play(m)
			assert.Equal(t, x.want, m.said)
			assert.Empty(t, m.bench.View().Drill, "none is under way any more")
			for _, d := range m.losses {
				assert.Equal(t, fact.LossNone, d.Class, "%+v", d)
			}
			for _, c := range m.bench.Claims() {
				if strings.HasPrefix(c.ID, "failsafe/") {
					assert.Equal(t, "open", string(c.Verdict), "%s: %s", c.ID, c.Sentence)
				}
			}
		})
	}
}

// A loss that was one stays one when the drill is given up in its middle, and what
// was not seen of it is not judged.
func TestALossOfWhichTheRestIsNotSeen(t *testing.T) {
	for name, stop := range map[string]func(m *mishap){
		"abandoned": func(m *mishap) { m.do(fact.FailsafeDrill, fact.StepAbandon); m.beat() },
		"unplugged": func(m *mishap) { m.put(fact.TapDown, "unplugged") },
		"ended":     func(m *mishap) { m.put(fact.End, "") },
	} {
		t.Run(name, func(t *testing.T) {
			m := newMishap(starter(t))
			m.frames(3)
			m.until(fact.PromptOff, m.frames)
			m.frames(1)
			m.on = false
			m.frames(4)
			require.Equal(t, fact.PromptSettle, fact.PromptStep(m.bench.View().Prompt), "the wire shows it")
			stop(m)
			require.Len(t, m.losses, 1)
			assert.Equal(t, fact.LossHold, m.losses[0].Class)
			assert.Negative(t, m.losses[0].BackNS)
			for _, c := range m.bench.Claims() {
				if c.ID == "failsafe/back" {
					assert.Equal(t, "open", string(c.Verdict), c.Sentence)
				}
			}
		})
	}
}

// A bus that fell silent just before the builder was asked to switch off shows no
// value after it.
func TestASilenceJustBeforeOff(t *testing.T) {
	m := newMishap(starter(t))
	m.frames(3)
	m.until(fact.PromptAway, m.frames)
	m.now += 20 * fact.Millisecond
	m.do(fact.FailsafeDrill, fact.StepDone)
	require.Equal(t, fact.PromptOff, fact.PromptStep(m.bench.View().Prompt))
	m.quiet(3)
	m.do(fact.FailsafeDrill, fact.StepAbandon)
	m.beat()
	require.Empty(t, m.losses, "it is not over")
	m.put(fact.End, "")
	require.Len(t, m.losses, 1)
	assert.Equal(t, fact.LossSilent, m.losses[0].Class)
	for i, c := range m.losses[0].Channels {
		assert.Equal(t, c.WasNS, c.NowNS, "channel %d", i+1)
		assert.Equal(t, fact.LossSilent, c.Class, "channel %d", i+1)
	}
}

// A replay may be judged by another sheet than the one that the drill was for.
func TestStepsOfADrillThatTheSheetDoesNotHave(t *testing.T) {
	sh, err := sheet.Read("bare", []byte("sheet: 1\nmodel: Bare\nchannels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"))
	require.NoError(t, err)
	m := newMishap(sh)
	m.frames(2)
	for _, do := range []string{fact.StepBegin, fact.StepConfirm, fact.StepDone, fact.StepAbandon} {
		m.do(fact.FailsafeDrill, do)
		m.frames(1)
	}
	require.Len(t, m.said, 4)
	for _, s := range m.said {
		assert.Equal(t, `refused: got the drill "failsafe", want one of order, ends, neutral`, s)
	}
	m.on = false
	m.frames(4)
	m.on = true
	m.frames(2)
	assert.Empty(t, m.losses)
}

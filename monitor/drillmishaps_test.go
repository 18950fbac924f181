package monitor_test

import (
	"encoding/binary"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// mishap is a bench on which a drill goes astray: frames made by hand, whose
// heartbeat moves as long as the transmitter is on.
type mishap struct {
	engine *engine.Engine
	now    unit.Time
	frame  bus.Frame
	on     bool // the transmitter
	said   []string
	losses []event.LossData
}

func newMishap(sh *sheet.Sheet) *mishap {
	m := &mishap{on: true}
	for i := range m.frame.Counts {
		m.frame.Counts[i] = 600
	}
	m.engine = engine.New(sh, m.hears)
	in := begin("main")
	m.engine.Step(&in)
	m.put(event.InputTapUp, `{"port":"by hand"}`)
	return m
}

func (m *mishap) hears(e *event.Event, _ int64) {
	switch d := e.Data.(type) {
	case event.LossData:
		m.losses = append(m.losses, d)
	case event.DrillEndedData:
		m.said = append(m.said, strings.TrimSuffix(d.How+": "+d.Why, ": "))
	case event.ReasonData:
		if e.Kind == event.DrillRefused {
			m.said = append(m.said, "refused: "+d.Why)
		}
	case event.FaultData:
		m.said = append(m.said, "fault: "+d.Fault)
	}
}

func (m *mishap) put(kind event.InputKind, data string) {
	in := event.Input{At: m.now, Kind: kind, Data: []byte(data)}
	if kind == event.InputTapUp || kind == event.InputTapDown || kind == event.InputBytes {
		in.Tap = 1
	}
	m.engine.Step(&in)
}

func (m *mishap) beat() {
	m.put(event.InputBeat, string(binary.BigEndian.AppendUint64(nil, uint64(m.now))))
}

// quiet lets seconds pass in which no frame comes.
func (m *mishap) quiet(seconds int) {
	for range seconds {
		m.now = m.now.Add(unit.Second)
		m.beat()
	}
}

// frames lets seconds of them come.
func (m *mishap) frames(seconds int) {
	const each = 125
	for range seconds {
		for range each {
			m.now = m.now.Add(unit.Second / each)
			if m.on {
				m.frame.Counts[15] = uint32(600 + int64(m.now)/int64(8*unit.Millisecond)%250*2)
			}
			var raw [servobus.FrameLen]byte
			servobus.Encode(&m.frame, raw[:])
			m.put(event.InputBytes, string(raw[:]))
		}
		m.beat()
	}
}

func (m *mishap) do(name, do string) {
	data, _ := json.Marshal(event.DrillStep{Drill: name, Do: do})
	m.put(event.InputDrillStep, string(data))
}

// until answers the failsafe drill up to a prompt, whatever the wire shows.
func (m *mishap) until(prompt string, pass func(int)) {
	m.do(drill.Failsafe, event.StepBegin)
	m.do(drill.Failsafe, event.StepConfirm)
	for range 8 {
		stands := m.engine.View().Prompt
		if event.PromptPart(stands) == prompt {
			return
		}
		pass(2)
		if m.engine.View().Prompt == stands { // the wire did not answer it
			m.do(drill.Failsafe, event.StepDone)
		}
	}
}

const unanswered = "timed out: nothing was answered for 2 minutes"

// Each of these ends in a sentence, and reports no loss that was none.
func TestFailsafeDrillsThatGoAstray(t *testing.T) {
	const abandoned = "abandoned"
	for _, x := range []struct {
		name string
		play func(m *mishap)
		want []string
	}{
		{"no frame was ever heard, nobody answers", func(m *mishap) {
			m.until(event.PromptAway, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"no frame was ever heard, all is said to be done", func(m *mishap) {
			m.until(event.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"the bus had been silent before", func(m *mishap) {
			m.frames(3)
			m.quiet(5)
			m.until(event.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"begun while the tap is down", func(m *mishap) {
			m.frames(3)
			m.put(event.InputTapDown, "unplugged")
			m.until(event.PromptBack, m.quiet)
			m.quiet(200)
		}, []string{unanswered}},
		{"the tap goes down before off", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptOff, m.frames)
			m.put(event.InputTapDown, "unplugged")
			m.quiet(200)
		}, []string{"interrupted: nothing can be read at main: unplugged"}},
		{"the tap goes down while nothing is lost", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptSettle, m.frames)
			m.frames(2)
			m.put(event.InputTapDown, "unplugged")
			m.quiet(200)
		}, []string{"interrupted: nothing can be read at main: unplugged"}},
		{"and comes up again", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptSettle, m.frames)
			m.put(event.InputTapDown, "unplugged")
			m.put(event.InputTapUp, `{"port":"by hand"}`)
			m.frames(5)
			m.do(drill.Failsafe, event.StepDone)
		}, []string{"interrupted: nothing can be read at main: unplugged", "refused: no drill is under way: begin it first, with benchproof drill failsafe"}},
		{"begun twice", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptAway, m.frames)
			m.do(drill.Failsafe, event.StepBegin)
			m.frames(1)
			m.do(drill.Failsafe, event.StepAbandon)
		}, []string{"refused: the drill failsafe is under way: finish it, or abandon it with q", abandoned}},
		{"another one is begun meanwhile", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptSettle, m.frames)
			m.do("mode", event.StepBegin)
			m.do(drill.Failsafe, event.StepAbandon)
		}, []string{"refused: the drill failsafe is under way: finish it, or abandon it with q", abandoned}},
		{"left alone for an hour", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptAway, m.frames)
			m.quiet(3600)
		}, []string{unanswered}},
		{"nobody switches off", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptOff, m.frames)
			m.frames(125)
		}, []string{unanswered}},
		{"left alone before its cautions", func(m *mishap) {
			m.do(drill.Failsafe, event.StepBegin)
			m.quiet(3600)
		}, []string{unanswered}},
		{"abandoned between off and on, nothing lost", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptOn, m.frames)
			m.do(drill.Failsafe, event.StepAbandon)
			m.frames(5)
		}, []string{abandoned}},
		{"the sitting ends in the middle", func(m *mishap) {
			m.frames(3)
			m.until(event.PromptSettle, m.frames)
			m.put(event.InputEnd, "")
		}, []string{"interrupted: the sitting is over"}},
		{"a step that is no JSON", func(m *mishap) {
			m.put(event.InputDrillStep, "{")
		}, []string{"refused: got a drill step that is not readable: unexpected end of JSON input"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			m := newMishap(starter(t))
			x.play(m)
			assert.Equal(t, x.want, m.said)
			assert.Empty(t, m.engine.View().Drill, "none is under way any more")
			for _, d := range m.losses {
				assert.Equal(t, event.LossNone, d.Class, "%+v", d)
			}
			for _, c := range m.engine.Claims() {
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
		"abandoned": func(m *mishap) { m.do(drill.Failsafe, event.StepAbandon); m.beat() },
		"unplugged": func(m *mishap) { m.put(event.InputTapDown, "unplugged") },
		"ended":     func(m *mishap) { m.put(event.InputEnd, "") },
	} {
		t.Run(name, func(t *testing.T) {
			m := newMishap(starter(t))
			m.frames(3)
			m.until(event.PromptOff, m.frames)
			m.frames(1)
			m.on = false
			m.frames(4)
			require.Equal(t, event.PromptSettle, event.PromptPart(m.engine.View().Prompt), "the wire shows it")
			stop(m)
			require.Len(t, m.losses, 1)
			assert.Equal(t, event.LossHold, m.losses[0].Class)
			assert.Negative(t, m.losses[0].BackNS)
			for _, c := range m.engine.Claims() {
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
	m.until(event.PromptAway, m.frames)
	m.now = m.now.Add(20 * unit.Millisecond)
	m.do(drill.Failsafe, event.StepDone)
	require.Equal(t, event.PromptOff, event.PromptPart(m.engine.View().Prompt))
	m.quiet(6) // a shorter one may be what lies waiting in the port
	m.do(drill.Failsafe, event.StepAbandon)
	m.beat()
	require.Empty(t, m.losses, "it is not over")
	m.put(event.InputEnd, "")
	require.Len(t, m.losses, 1)
	assert.Equal(t, event.LossSilent, m.losses[0].Class)
	for i, c := range m.losses[0].Channels {
		assert.Equal(t, c.WasNS, c.NowNS, "channel %d", i+1)
		assert.Equal(t, event.LossSilent, c.Class, "channel %d", i+1)
	}
}

// A replay may be judged by another sheet than the one that the drill was for.
func TestStepsOfADrillThatTheSheetDoesNotHave(t *testing.T) {
	sh, err := sheet.Read("bare", []byte("sheet: 1\nmodel: Bare\nchannels:\n  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"))
	require.NoError(t, err)
	m := newMishap(sh)
	m.frames(2)
	for _, do := range []string{event.StepBegin, event.StepConfirm, event.StepDone, event.StepAbandon} {
		m.do(drill.Failsafe, do)
		m.frames(1)
	}
	require.Len(t, m.said, 4)
	for _, s := range m.said {
		assert.Equal(t, `refused: got the drill "failsafe", want one of order, ends, neutral, range`, s)
	}
	m.on = false
	m.frames(4)
	m.on = true
	m.frames(2)
	assert.Empty(t, m.losses)
}

package drill_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
)

// keysOf lists the prompts of the drills of a sheet: key word, how it is answered, whether it takes both hands, ID.
func keysOf(s *sheet.Sheet) (lines []string) {
	plans := drill.Plans(s)
	for i := range plans {
		for j := range plans[i].Prompts {
			q := &plans[i].Prompts[j]
			hands := "a hand is free"
			if q.Hands() {
				hands = "both hands"
			}
			lines = append(lines, fmt.Sprintf("%-22s %-8s %-15s %s", plans[i].KeyWord(s, q), q.Answers(), hands, q.ID))
		}
	}
	return lines
}

// What stands in golden files somebody has read beside the prompts' texts; BENCHPROOF_REWRITE=1
// writes them anew.
func TestKeyWordsOfExampleSheets(t *testing.T) {
	for name, path := range map[string]string{
		"starter": "testdata/keys-starter.txt", "two switches": "testdata/keys-two-switches.txt",
		"../../testdata/corpus/thermwisp-digital/sheet.yaml": "testdata/keys-digital.txt",
	} {
		got := strings.Join(keysOf(exampleSheets(t)[name]), "\n") + "\n"
		if os.Getenv("BENCHPROOF_REWRITE") != "" {
			require.NoError(t, os.WriteFile(path, []byte(got), 0o600))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, name)
	}
}

// A key word is read in a moment, from two metres away, in every drill of every sheet.
func TestEachPromptHasAKeyWord(t *testing.T) {
	for name, s := range exampleSheets(t) {
		plans := drill.Plans(s)
		for i := range plans {
			for j := range plans[i].Prompts {
				q := &plans[i].Prompts[j]
				key := plans[i].KeyWord(s, q)
				words := len(strings.Fields(key))
				if c, ok := s.Channel(q.Asks.Channel); ok {
					words -= strings.Count(c.Name, " ")
					for _, p := range c.Places {
						if p.Name == q.Asks.Place {
							words -= strings.Count(p.Name, " ")
						}
					}
				}
				assert.True(t, 1 <= words && words <= 3, "%s: %s: %q", name, q.ID, key)
				assert.NotEqual(t, strings.ToLower(key), key, "%s: %s: %q has what is to be done in capitals", name, q.ID, key)
				if q.Hands() {
					assert.Contains(t, []string{drill.ByWire, drill.ByCount}, q.Answers(), "%s: nobody has a hand to answer", q.ID)
				}
			}
		}
	}
}

func TestKeyWords(t *testing.T) {
	s := starter(t)
	find := func(name, id string) (*drill.Plan, *drill.Prompt) {
		p, ok := drill.Find(drill.Plans(s), name)
		require.True(t, ok)
		return p, p.Prompt(id)
	}
	for _, x := range []struct{ drill, prompt, want, by string }{
		{"mode", "mode/plain/middle", "inner MIDDLE", drill.ByWire},
		{"mode", "mode/upright/front/back/way/1/outer/back", "outer BACK", drill.ByWire},
		{"mode", "mode/upright/front/back", "inner FRONT", drill.ByWire},
		{"gain", "gain/centre", "gain CENTRE", drill.ByBuilder},
		{"order", "order/throttle/full", "throttle UP", drill.ByWire},
		{"order", "order/aileron/neutral", "aileron CENTRE", drill.ByWire},
		{"neutral", "neutral/cut", "CUT ON", drill.ByBuilder},
		{"failsafe", "failsafe/later/wait", "WAIT", drill.ByCount},
		{"failsafe", "failsafe/soon/away", "MOVE ALL AWAY", drill.ByWire},
		{"failsafe", "failsafe/soon/off", "HOLD, THEN OFF", drill.ByWire},
		{"failsafe", "failsafe/soon/settle", "TOUCH NOTHING", drill.ByWire},
		{"failsafe", "failsafe/soon/on", "TRANSMITTER ON", drill.ByBuilder},
		{"power-up", "power-up/off", "BOTH OFF", drill.ByBuilder},
		{"power-up", "power-up/on", "RECEIVER ON", drill.ByCount},
		{"correction", "correction/pitch/there", "TAIL UP", drill.ByCount},
		{"correction", "correction/roll/other", "RIGHT WING UP", drill.ByCount},
		{"range", "range/power", "TELL", drill.ByWords},
		{"range", "range/walk", "WALK", drill.ByMarks},
	} {
		p, q := find(x.drill, x.prompt)
		require.Equal(t, x.prompt, q.ID)
		assert.Equal(t, x.want, p.KeyWord(s, q), x.prompt)
		assert.Equal(t, x.by, q.Answers(), x.prompt)
	}
	p, q := find("mode", "mode/nowhere")
	assert.Empty(t, q.ID)
	assert.Empty(t, p.KeyWord(s, q))
	assert.Empty(t, (*drill.Plan)(nil).Prompt("mode").ID)
}

// Whoever holds the model, or both sticks, is asked for no touch; whoever has to say that
// something is done has a hand for that.
func TestWhichPromptsTakeBothHands(t *testing.T) {
	s := starter(t)
	var both []string
	for _, p := range drill.Plans(s) {
		for i := range p.Prompts {
			if p.Prompts[i].Hands() && !slices.Contains(both, string(p.Prompts[i].Asks.Act)) {
				both = append(both, string(p.Prompts[i].Asks.Act))
			}
		}
	}
	assert.Equal(t, []string{"off", "count", "there", "level", "other"}, both)
	pressed, err := sheet.Read("sheet", []byte(`sheet: 1
model: Table
channels:
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
  12: {name: button, kind: momentary, rest: 988, pressed: 2012}
stabiliser:
  windows: {from: guess}
  modes:
    one: {when: [{button: [0, 1500]}], wanted_at: [{button: rest, inner: back}]}
    two: {when: [{button: [1500, 2500]}], wanted_at: [{button: pressed, inner: front}]}
`))
	require.NoError(t, err)
	plan, ok := drill.Find(drill.Plans(pressed), drill.Mode)
	require.True(t, ok)
	for i := range plan.Prompts {
		q := &plan.Prompts[i]
		if q.Asks.Mode == "two" {
			assert.Equal(t, q.Asks.Channel == 11, q.Hands(), q.Text)
		}
	}
}

func TestWhatAnEarlyAnswerCosts(t *testing.T) {
	for want, q := range map[string]drill.Prompt{
		"": {Until: drill.Condition{Loss: "lost"}},
		"The next prompt comes by itself, once the bus shows it. Enter goes on at once, and then how soon is not known.": {
			Early: "how soon is not known", Until: drill.Condition{Loss: "lost"}},
		"The next prompt comes by itself in 120 s. Enter goes on at once, and then it is lost.": {
			Early: "it is lost", Until: drill.Condition{After: 120_000_000_000}},
	} {
		assert.Equal(t, want, q.EarlySays())
	}
}

package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

const small = `# A model.
sheet: 1
model: "Gull # post"   # in quotes
taps: {main: {kind: bus}}

channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500 us} # µs
  3:
    name: throttle
    kind: throttle
    drives: motor
    cut: 1000
    full: 2000
  5:
    name: flaps
    kind: switch
    positions:
      up: 988
      # or so
      down: 2012
gain:
  law: in-receiver
stabiliser:
  windows: {from: guess}
  modes:
    plain:
      when: [{flaps: [0, 1500]}]
      wanted_at:
        - flaps: up
failsafe:
  flag: required
  within: 1s
  heard: {default: hold, throttle: 1000}
  leads:
    2: stops
    left aileron: hold
outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}}
  2:
    surface: motor
    moved_by: {throttle: 1.0}
heartbeat: {channel: 16}
mark_button: {channel: flaps, when: down}
`

func TestTheLinesOfASheet(t *testing.T) {
	for _, end := range []string{"\n", "\r\n"} {
		text := []byte("\uFEFF" + strings.ReplaceAll(small, "\n", end))
		s, err := sheet.Read("small", text)
		require.NoError(t, err)
		lines := s.Lines(text)
		require.Len(t, lines, strings.Count(small, "\n"))
		at := map[string]sheet.Line{}
		for i, l := range lines {
			assert.Equal(t, i+1, l.Number)
			assert.Equal(t, strings.Split(small, "\n")[i], l.Text)
			at[strings.TrimSpace(l.Says)] = l
		}
		for says, want := range map[string]struct {
			keys  string
			reads sheet.Reading
		}{
			`model: "Gull # post"`:      {"model", sheet.Reading{Kind: sheet.ReadsNothing}},
			"taps: {main: {kind: bus}}": {"taps taps.main taps.main.kind", sheet.Reading{Kind: sheet.ReadsLink, Name: "main"}},
			"channels:":                 {"channels", sheet.Reading{Kind: sheet.ReadsNothing}},
			"1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500 us}": {
				"channels.1 channels.1.name channels.1.kind channels.1.ends channels.1.ends.left channels.1.ends.right channels.1.neutral",
				sheet.Reading{Kind: sheet.ReadsChannel, Name: "aileron", Number: 1}},
			"kind: throttle": {"channels.3.kind", sheet.Reading{Kind: sheet.ReadsNothing}},
			"cut: 1000":      {"channels.3.cut", sheet.Reading{Kind: sheet.ReadsChannel, Name: "throttle", Number: 3, Place: "cut"}},
			"positions:":     {"channels.5.positions", sheet.Reading{Kind: sheet.ReadsChannel, Name: "flaps", Number: 5}},
			"down: 2012":     {"channels.5.positions.down", sheet.Reading{Kind: sheet.ReadsChannel, Name: "flaps", Number: 5, Place: "down"}},
			"modes:":         {"stabiliser.modes", sheet.Reading{Kind: sheet.ReadsMode}},
			"plain:":         {"stabiliser.modes.plain", sheet.Reading{Kind: sheet.ReadsMode, Name: "plain"}},
			"when: [{flaps: [0, 1500]}]": {"stabiliser.modes.plain.when stabiliser.modes.plain.when.[0] stabiliser.modes.plain.when.[0].flaps " +
				"stabiliser.modes.plain.when.[0].flaps.[0] stabiliser.modes.plain.when.[0].flaps.[1]", sheet.Reading{Kind: sheet.ReadsNothing}},
			"- flaps: up":    {"stabiliser.modes.plain.wanted_at.[0] stabiliser.modes.plain.wanted_at.[0].flaps", sheet.Reading{Kind: sheet.ReadsNothing}},
			"flag: required": {"failsafe.flag", sheet.Reading{Kind: sheet.ReadsLink}},
			"heard: {default: hold, throttle: 1000}": {"failsafe.heard failsafe.heard.default failsafe.heard.throttle",
				sheet.Reading{Kind: sheet.ReadsChannel, Name: "throttle", Number: 3}},
			"2: stops":                 {"failsafe.leads.2", sheet.Reading{Kind: sheet.ReadsOutput, Name: "motor", Number: 2}},
			"left aileron: hold":       {"failsafe.leads.left aileron", sheet.Reading{Kind: sheet.ReadsOutput, Name: "left aileron", Number: 1}},
			"surface: motor":           {"outputs.2.surface", sheet.Reading{Kind: sheet.ReadsOutput, Name: "motor", Number: 2}},
			"heartbeat: {channel: 16}": {"heartbeat heartbeat.channel", sheet.Reading{Kind: sheet.ReadsChannel, Name: "heartbeat", Number: 16}},
			"law: in-receiver":         {"gain.law", sheet.Reading{Kind: sheet.ReadsNothing}},
			"":                         {"", sheet.Reading{Kind: sheet.ReadsNothing}},
			"mark_button: {channel: flaps, when: down}": {"mark_button mark_button.channel mark_button.when",
				sheet.Reading{Kind: sheet.ReadsChannel, Name: "flaps", Number: 5, Place: "down"}},
		} {
			l, ok := at[says]
			if assert.True(t, ok, says) {
				assert.Equal(t, want.keys, strings.Join(l.Keys, " "), says)
				assert.Equal(t, want.reads, l.Reads, says)
			}
		}
	}
}

func TestTheLineOfAKey(t *testing.T) {
	s, err := sheet.Read("small", []byte(small))
	require.NoError(t, err)
	lines := s.Lines([]byte(small))
	for _, c := range []struct {
		says  string
		paths []string
	}{
		{"cut: 1000", []string{"channels.3.cut"}},
		{"full: 2000", []string{"channels.3.idle", "channels.3.full"}},
		{"3:", []string{"channels.3.idle"}},
		{"modes:", []string{"stabiliser.modes.damping.does", "stabiliser.margin"}},
	} {
		assert.Equal(t, c.says, strings.TrimSpace(lines[sheet.LineOf(lines, c.paths...)-1].Says), "%v", c.paths)
	}
	assert.Zero(t, sheet.LineOf(lines, "soak.mode"))
	assert.Zero(t, sheet.LineOf(lines))
}

// A text that is no sheet has lines all the same.
func TestLinesOfWhatIsNoSheet(t *testing.T) {
	lines := (&sheet.Sheet{}).Lines([]byte("a: [\n# b"))
	require.Len(t, lines, 2)
	assert.Empty(t, lines[0].Keys)
	assert.Equal(t, "", lines[1].Says)
}

func TestThePlaceOfAWidth(t *testing.T) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	aid, _ := s.ByName("aid")
	p, at := aid.PlaceAt(1_652_000, s.Tolerance.Position)
	assert.True(t, at)
	assert.Equal(t, "third", p.Name)
	_, at = aid.PlaceAt(1_652_001, s.Tolerance.Position)
	assert.False(t, at)
	assert.Equal(t, "third", s.PlaceName(aid.Number, 1_628_000))
	assert.Equal(t, "", s.PlaceName(aid.Number, 1_500_000))
	assert.Equal(t, "", s.PlaceName(13, 1_640_000))
}

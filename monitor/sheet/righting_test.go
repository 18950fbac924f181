package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// righting is the example with a switch that rights the model, in a line of its own, and other presets.
func righting(t *testing.T, line, heard string) string {
	text := changed(t, "  margin: 100 us", "  "+line+"\n  margin: 100 us")
	text = strings.Replace(text, "  15: {name: teach,", "  12: {name: rescue, kind: momentary, rest: 988, pressed: 2012}\n"+
		"  14: {name: third, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}\n  15: {name: teach,", 1)
	return strings.Replace(text, "teach: rest}", "teach: rest"+heard+"}", 1)
}

func TestDoubtsOfRighting(t *testing.T) {
	for _, c := range []struct{ name, line, heard, want string }{
		{"a momentary switch that a failsafe rests", "righting: {channel: rescue, when: pressed}", ", rescue: rest", ""},
		{"the older key", "level_now: {channel: rescue, when: pressed}", ", rescue: rest", ""},
		{"a switch that chooses modes", "righting: {channel: outer, when: front}", ", outer: back", "outer rights the model and chooses its mode too"},
		{"the middle of a switch", "righting: {channel: third, when: middle, guard: lock}", ", third: back",
			"third rights the model at middle, which its lever passes on the way from back to front"},
		{"an end of a switch", "righting: {channel: third, when: front}", ", third: back", "third rights the model and is neither momentary nor guarded"},
		{"one with a cover", "righting: {channel: third, when: front, guard: cover}", ", third: back", ""},
		{"a preset that rights", "righting: {channel: rescue, when: pressed}", ", rescue: pressed", "without a signal rescue goes to pressed"},
		{"a preset that holds", "righting: {channel: rescue, when: pressed}", "", "without a signal rescue holds"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := righting(t, c.line, c.heard)
			_, doubts, err := sheet.ReadNew("m.yaml", []byte(text))
			require.NoError(t, err)
			if c.want == "" {
				assert.Empty(t, doubts)
				return
			}
			require.Len(t, doubts, 1)
			assert.Contains(t, doubts[0].Text, c.want)
		})
	}
	text := strings.Replace(righting(t, "righting: {channel: rescue, when: pressed}", ", rescue: rest"), ", does: stays", "", 1)
	_, doubts, err := sheet.ReadNew("m.yaml", []byte(text))
	require.NoError(t, err)
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Text, "righting leans on a mode that holds an attitude")
}

func TestWhatRightingOverrides(t *testing.T) {
	for line, want := range map[string][]string{
		"righting: {channel: rescue, when: pressed}":                          {"damping", "plain"},
		"righting: {channel: rescue, when: pressed, over: [plain]}":           {"plain"},
		"righting: {channel: rescue, when: pressed, over: [upright]}":         nil, // its answers stay anyway
		"level_now: {channel: rescue, when: pressed, over: [damping, plain]}": {"damping", "plain"},
		"margin: 90 us": nil,
	} {
		text := righting(t, line, ", rescue: rest")
		if strings.HasPrefix(line, "margin") {
			text = strings.Replace(text, "  margin: 100 us", "", 1)
		}
		s, err := sheet.Read("m.yaml", []byte(text))
		require.NoError(t, err, line)
		var names []string
		for _, m := range s.Overridden() {
			names = append(names, m.Name)
		}
		assert.Equal(t, want, names, line)
		assert.Equal(t, "upright", s.HoldsAttitude().Name)
		if x := s.Righting(); x != nil {
			assert.Equal(t, sheet.Setting{Channel: 12, Position: "rest", Width: 988_000}, s.Rest(x.Setting))
		}
		untested := strings.Join(s.Untested(), "\n")
		assert.Equal(t, strings.Contains(line, "[upright]"), strings.Contains(untested, "whether righting overrides upright"), line)
		assert.Equal(t, strings.Contains(line, "[upright]"), strings.Contains(untested, "what the righting switch does"), line)
	}
}

// The older key is looked up, listed and read like the newer one.
func TestTheOlderKeyOfRighting(t *testing.T) {
	for _, asked := range []string{"stabiliser.level_now", "level_now", "stabiliser.righting"} {
		found, _ := sheet.Find(asked)
		require.Len(t, found, 1, asked)
		assert.Equal(t, "stabiliser.righting", found[0].Path)
	}
	text := []byte(righting(t, "level_now: {channel: rescue, when: pressed}", ", rescue: rest"))
	s, err := sheet.Read("m.yaml", text)
	require.NoError(t, err)
	lines := s.Lines(text)
	at := lines[sheet.LineOf(lines, "stabiliser.level_now")-1]
	assert.Equal(t, sheet.Reading{Kind: sheet.ReadsChannel, Name: "rescue", Number: 12, Place: "pressed"}, at.Reads)
	assert.Equal(t, "level_now", s.Righting().Key)
}

package claim_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// sheetTexts are those of all sheets that there are, by name.
func sheetTexts(t *testing.T) map[string][]byte {
	t.Helper()
	texts := map[string][]byte{"starter": sheet.Starter(), "two switches": sheettest.TwoSwitches()}
	for _, pattern := range []string{
		"../../testdata/*/*/sheet.yaml", "../report/testdata/*.yaml", "../sheet/testdata/example.yaml",
	} {
		paths, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, paths, pattern)
		for _, path := range paths {
			texts[path], err = os.ReadFile(path)
			require.NoError(t, err)
		}
	}
	return texts
}

// Whatever a sheet leaves out and however it is written, each claim has a line that says something.
func TestEachClaimHasALineOfItsSheet(t *testing.T) {
	for name, text := range sheetTexts(t) {
		s, err := sheet.Read(name, text)
		require.NoError(t, err)
		lines := s.Lines(text)
		for _, c := range claim.New(s).Claims() {
			require.NotEmpty(t, c.Stated, c.ID)
			if n := sheet.LineOf(lines, c.Stated...); assert.Positive(t, n, "%s: %s is stated by %v", name, c.ID, c.Stated) {
				assert.NotEmpty(t, lines[n-1].Says, "%s: %s", name, c.ID)
			}
		}
	}
}

func TestTheLinesOfClaims(t *testing.T) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	lines, index := s.Lines(sheet.Starter()), claim.NewIndex(s)
	for _, x := range []struct{ id, says string }{
		{"position/aid/third", "positions: {first: 1040, second: 1330, third: 1640, fourth: 1930}"},
		{"momentary/teach", "pressed: 1930"},
		{"order/aileron", "name: aileron"},
		{"travel/aileron/left", "ends: {left: 1000, right: 2000}"},
		{"travel/throttle/idle", "idle: 1060"},
		{"clip/throttle", "full: 2000"},
		{"powerup/throttle", "cut: 1000"},
		{"gain/half", "full: 1930"},
		{"mode/upright/third", "wanted_at: [{aid: third}]"},
		{"margin/upright/third", "margin: 100 us"},
		{"passing/damping", "when: [{aid: [1180, 1480]}]"},
		{"gesture/limit-learning", "limit-learning:"},
		{"response/upright", "does: stays"},
		{"correction/yaw/output:4", "corrects: [yaw]"},
		{"stick/pitch", "corrects: [pitch]"},
		{"travel/output:2", "moved_by: {elevator: 1.0}"},
		{"failsafe/throttle", "throttle: {at_most: 1010}"},
		{"failsafe/aileron", "default: hold"},
		{"failsafe/output:1", "default: follows"},
		{"failsafe/output:3", "motor: stops"},
		{"failsafe/time", "within: 1.5s"},
		{"failsafe/mode", "aid: 1040"},
		{"failsafe/back", "failsafe:"},
		{"link/missed", `missed_at_most: "0.1 %"`},
		{"link/moving", "heartbeat:"},
		{"answers/controls", "channels:"},
	} {
		if c := index[x.id]; assert.NotNil(t, c, x.id) {
			assert.Equal(t, x.says, strings.TrimSpace(lines[sheet.LineOf(lines, c.Stated...)-1].Says), x.id)
		}
	}
}

// Where a list has a line for each of its items, a combination is on its own.
func TestTheLineOfOneCombinationAmongOthers(t *testing.T) {
	text := strings.Replace(string(sheet.Starter()), "wanted_at: [{aid: third}]", "wanted_at:\n        - {aid: third}\n        - aid: fourth", 1)
	text = strings.Replace(text, "[1480, 1780]", "[1480, 3000]", 1)
	text = text[:strings.Index(text, "    hold-course:")] + text[strings.Index(text, "  margin: 100 us"):]
	s, err := sheet.Read("starter", []byte(text))
	require.NoError(t, err)
	lines, index := s.Lines([]byte(text)), claim.NewIndex(s)
	for id, says := range map[string]string{"mode/upright/third": "- {aid: third}", "mode/upright/fourth": "- aid: fourth"} {
		assert.Equal(t, says, strings.TrimSpace(lines[sheet.LineOf(lines, index[id].Stated...)-1].Says))
	}
}

package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/report"
	"benchproof.example/monitor/sheet/sheettest"
)

// unseenOf are the words and the text of what a played sitting did not look at.
func unseenOf(t *testing.T, sheetText string, play func(*sittingPlan)) (words []string, text string) {
	t.Helper()
	b := &sittingPlan{sheet: []byte(sheetText), wall: begun, build: "test"}
	b.do("signal on")
	b.wait(2e9)
	play(b)
	r, err := report.FromRecording(t.Context(), sessionOf(b.play(t, t.TempDir()+"/s")))
	require.NoError(t, err)
	for _, u := range r.Unseen {
		words = append(words, u.What)
		text += u.Text + "\n"
	}
	return words, text
}

func TestWhatWasNotLookedAtIsSaid(t *testing.T) {
	starter := string(sheettest.TwoSwitches())
	none := func(*sittingPlan) {}
	lose := func(b *sittingPlan) {
		b.do("stick throttle 1600 over 300ms")
		b.wait(1e9)
		b.do("signal off")
		b.wait(3e9)
		b.do("signal on")
		b.wait(2e9)
	}
	words, text := unseenOf(t, starter, none)
	assert.Equal(t, []string{"claims", "claims", "tap", "leads", "response", "windows", "loss", "power-up"}, words)
	assert.Contains(t, text, "Losing the signal was not tried")
	assert.Regexp(t, `^\d+ claims of the sheet were not looked at \(open\)\.\n\d+ claims of the sheet were looked at, but not settled \(open\)\.\n`, text)
	assert.Contains(t, text, "taken from the manual")

	words, text = unseenOf(t, strings.Replace(starter, "    from: manual", "    from: guess", 1), none)
	assert.Contains(t, words, "windows")
	assert.Contains(t, text, "are a guess")

	words, _ = unseenOf(t, strings.Replace(starter, "    from: manual", "    from: measured", 1), none)
	assert.NotContains(t, words, "windows")

	_, text = unseenOf(t, strings.Replace(starter, "heartbeat:\n  channel: 16", "heartbeat:\n  channel: 14", 1), none)
	assert.Contains(t, text, "The sheet has a heartbeat on channel 14, but it was not seen to beat")

	_, text = unseenOf(t, strings.Replace(starter, "heartbeat:\n  channel: 16", "", 1), none)
	assert.Contains(t, text, "No heartbeat: a receiver that holds its last values and sets no flag looks like hands at rest.")

	_, text = unseenOf(t, strings.Replace(starter, "carries: heard", "carries: unknown", 1), none)
	assert.Contains(t, text, "What the bus at main carries is unknown by the sheet")

	_, text = unseenOf(t, starter, lose)
	assert.Contains(t, text, "Losing the signal was seen once only.")
	assert.Contains(t, text, "soon after power-up only")
	assert.Contains(t, text, "No loss was judged for longer than 3.")

	_, text = unseenOf(t, starter, func(b *sittingPlan) { lose(b); b.wait(3e9); lose(b) })
	assert.NotContains(t, text, "once only")
}

package claim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// What rests on a value that nobody measured or said is seen right as assumed, and wrong as ever.
func TestWhatRestsOnAnAssumption(t *testing.T) {
	text := string(sheet.Starter()) + "assumed: [channels.14.pressed, failsafe.within, failsafe.heard.default, gain.zero, outputs.1.corrects, stabiliser.margin]\n"
	s, err := sheet.Read("starter", []byte(text))
	require.NoError(t, err)
	assumed := map[string]bool{}
	for _, c := range New(s).Claims() {
		assumed[c.ID] = c.Assumed
	}
	for id, want := range map[string]bool{
		"momentary/teach": true, "failsafe/time": true, "gain/span": true, "failsafe/elevator": true, "correction/roll/output:1": true,
		"failsafe/throttle": false, "failsafe/teach": false, "failsafe/flag": false, "neutral/elevator": false, "position/aid/first": false,
		"margin/plain/first": true, "mode/plain/first": false, "link/moving": false,
	} {
		got, there := assumed[id]
		assert.True(t, there, id)
		assert.Equal(t, want, got, id)
	}
	c := &Claim{Assumed: true, Verdict: VerdictOpen}
	c.take(ruling{right: true, sentence: "it stood there"})
	assert.Equal(t, "it stood there; what the sheet has there is assumed", c.Sentence)
	c.take(ruling{sentence: "it did not"})
	assert.Equal(t, "it did not", c.Sentence)
}

package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
)

// On one line stands first how long there is, then what is lacking, then what is as asked.
func TestTheLineOfWhatIsWaitedFor(t *testing.T) {
	for want, text := range map[string]string{
		"": `{"id": "x", "waits": []}`,
		"1:32 left; aid: sees 1500 µs, waits for 1628 to 1652 µs; gain: sees 1900 µs, as asked": `{"left_ns": 92400000000, "waits": [
			{"met": true, "text": "gain: sees 1900 µs, as asked"}, {"text": "aid: sees 1500 µs, waits for 1628 to 1652 µs"}]}`,
		"0:29 LEFT": `{"left_ns": 29000000000, "warning": "The drill ends by itself."}`,
	} {
		var now client.Waiting
		require.NoError(t, json.Unmarshal([]byte(text), &now))
		assert.Equal(t, want, waitingLine(&now))
	}
}

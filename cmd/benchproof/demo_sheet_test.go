package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
)

// A demo whose sheet names a heartbeat that its transmitter does not send would complain
// of a fault that no newcomer can know the cause of.
func TestDemoSheetsNameTheHeartbeatThatIsSent(t *testing.T) {
	for _, name := range script.Names() {
		scripted, sent := simtest.Named(t, name), 0
		for i := range scripted.Channels {
			if c := &scripted.Channels[i]; c.Heartbeat != nil {
				sent = c.Number + 1
			}
		}
		text, err := demoSheet(name, scripted)
		require.NoError(t, err, name)
		s, err := sheet.Read(name, text)
		require.NoError(t, err, name)
		named := 0
		if s.Heartbeat != nil {
			named = s.Heartbeat.Channel
		}
		assert.Equal(t, sent, named, name)
		if name == "wing" { // what plays first
			starter, err := sheet.Read("starter", sheet.Starter())
			require.NoError(t, err)
			assert.Equal(t, starter.Heartbeat, s.Heartbeat, "it shows what the starter's heartbeat is for")
		}
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/port"
)

func TestPorts(t *testing.T) {
	list, err := port.List()
	require.NoError(t, err)
	code, out, talk := call(t, "ports")
	require.Equal(t, exitDone, code, talk)
	if len(list) == 0 {
		assert.Equal(t, noPorts+"\n", out)
	}
	for _, l := range list {
		assert.Contains(t, out, l.Port+"\n")
	}
	code, out, talk = call(t, "ports", "--json")
	require.Equal(t, exitDone, code, talk)
	var told []port.Info
	require.NoError(t, json.Unmarshal([]byte(out), &told))
	require.Len(t, told, len(list))
	for i := range list {
		assert.Equal(t, list[i].Port, told[i].Port)
		assert.NotNil(t, told[i].HeldBy)
		assert.NotNil(t, told[i].Trouble)
	}
}

func TestAPortIsTold(t *testing.T) {
	yes := true
	var out bytes.Buffer
	printPort(&out, &port.Info{
		Port: "/dev/serial/by-id/a", Device: "/dev/ttyUSB0", Driver: "d", USB: "0a1b:2c3d", Product: "Bench Adapter", Serial: "A7", Latency: "16 ms",
		MayOpen: &yes, Counters: &port.Counters{Received: 9, Parity: 1, Framing: 2, Breaks: 3, Overruns: 4, BufferOverruns: 5}, Trouble: []string{"held"},
	})
	printPort(&out, &port.Info{Port: "/dev/ttyS0", Device: "/dev/ttyS0", Latency: "unknown", MayOpen: &yes})
	printPort(&out, &port.Info{Port: "COM3", Device: "COM3", Latency: "unknown"})
	assert.Equal(t, `/dev/serial/by-id/a
  now /dev/ttyUSB0, "Bench Adapter", USB 0a1b:2c3d, serial number A7, driver d, latency 16 ms
  the driver counted 9 characters, 1 with parity and 2 with framing errors, 3 breaks, 9 lost
  ! held
/dev/ttyS0
  nobody is seen to hold it, and you may open it
COM3
`, out.String())
}

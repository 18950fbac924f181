//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
)

// A port with a bus is healthy; one with another stream is not, and the other settings that
// are tried are said and put back.
func TestExplainPorts(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	ctx, stop := context.WithCancel(t.Context())
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() { done <- run(ctx, []string{"simulate"}, out, &bytes.Buffer{}) }()
	ports := map[string]string{}
	for _, word := range strings.Fields(<-out.line) {
		if name, path, ok := strings.Cut(word, "="); ok {
			ports[name] = path
		}
	}
	require.Len(t, ports, 2, "a bus and leads")

	code, said, talk := call(t, "explain", ports["main"], "--for", "2s")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, said, "this is a healthy bus")
	assert.Contains(t, talk, "listening to "+ports["main"]+" at 100000 8E2 for 2s; nothing is written to it")

	code, said, talk = call(t, "explain", ports["leads"], "--for", "1s", "--try")
	assert.Equal(t, exitWrong, code, talk)
	assert.Contains(t, said, "with none of the other settings that were tried a bus can be read")
	for _, want := range []string{"trying 100000 8O2", "trying 200000 8E2", "trying 115200 8N1", "is set to 100000 8E2 again"} {
		assert.Contains(t, talk, want)
	}
	stop()
	assert.Equal(t, exitInterrupted, <-done)

	code, _, talk = call(t, "explain", os.DevNull, "--for", "1s")
	assert.Equal(t, exitDevice, code)
	assert.Contains(t, talk, "is not a serial port")
	code, _, talk = call(t, "explain", os.DevNull, "--for", "1ms")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "want 1s or more")
}

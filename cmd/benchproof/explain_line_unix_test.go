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
	"benchproof.example/monitor/port"
)

// A port with a bus is healthy; what is none is said, and what can't be listened to.
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

	stop()
	assert.Equal(t, exitInterrupted, <-done)

	code, _, talk = call(t, "explain", os.DevNull, "--for", "1s")
	assert.Equal(t, exitDevice, code)
	assert.Contains(t, talk, "is not a serial port")
	code, _, talk = call(t, "explain", os.DevNull, "--for", "1ms")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "want 1s or more")
}

// faulty plays a line with a fault and gives its port.
func faulty(t *testing.T, fault string) (path string, stop func()) {
	ctx, cancel := context.WithCancel(t.Context())
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() { done <- run(ctx, []string{"simulate", "--fault", fault}, out, &bytes.Buffer{}) }()
	words := strings.Fields(<-out.line)
	require.Equal(t, []string{os.Args[0], "explain"}, words[:2])
	return words[2], func() {
		cancel()
		assert.Equal(t, exitInterrupted, <-done)
	}
}

// The other settings that are tried are said, with what they read, and the port is put back as
// it was found.
func TestExplainTriesOtherSettings(t *testing.T) {
	path, stop := faulty(t, "rate")
	defer stop()
	found := port.Remember(path).String()
	code, said, talk := call(t, "explain", path, "--for", "1s", "--try")
	assert.Equal(t, exitWrong, code, talk)
	assert.Contains(t, said, "found: set to 200000 8E2 (even parity) the port reads a bus")
	assert.NotContains(t, said, "set to 100000 8O2")
	for _, want := range []string{"trying 100000 8O2 (odd parity)", "trying 200000 8E2"} {
		assert.Contains(t, talk, want)
	}
	assert.NotContains(t, talk, "trying 115200", "it is found by then")
	if found != "" {
		assert.Contains(t, talk, path+" is set to "+found+" again, as it was found")
	}
	assert.Equal(t, found, port.Remember(path).String())
}

// Where no other setting reads a bus, what that rules out is left out.
func TestExplainSaysWhatTriesLeave(t *testing.T) {
	path, stop := faulty(t, "not-inverted")
	defer stop()
	code, said, talk := call(t, "explain", path, "--for", "3s", "--try")
	assert.Equal(t, exitWrong, code, talk)
	assert.Contains(t, talk, "trying 57600 8E2 (even parity)")
	_, left, ok := strings.Cut(said, "no bus can be read with the other settings, either")
	require.True(t, ok, said)
	left = strings.Join(strings.Fields(left), " ")
	assert.Contains(t, left, "the signal is inverted at the port")
	assert.Contains(t, left, "to do: put one inverter")
}

// A bus that comes late is healthy all the same: nothing is tried.
func TestExplainTriesNothingOnAHealthyBus(t *testing.T) {
	path, stop := faulty(t, "late")
	defer stop()
	code, said, talk := call(t, "explain", path, "--for", "3s", "--try")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, said, "the bus is healthy, but this computer gets it late")
	assert.NotContains(t, talk, "trying")
}

// A port that a session listens to is not opened: the session is asked, wherever its folder
// is.
func TestExplainAsksTheSessionThatListens(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	path, stop := faulty(t, "nothing")
	defer stop()
	_, sheet, _ := call(t, "sheet", "new")
	require.NoError(t, os.WriteFile("mine.yaml", []byte(sheet), 0o600))
	ctx, enough := context.WithCancel(t.Context())
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() {
		done <- run(ctx, []string{"watch", "--sheet", "mine.yaml", "--bus", "main=" + path, "--session", "kept"}, out, &bytes.Buffer{})
	}()
	<-out.line
	code, said, talk := call(t, "explain", path, "--session", "kept", "--for", "10s")
	assert.Equal(t, exitWrong, code, talk)
	assert.Contains(t, talk, "the session kept listens to "+path+"; asking it")
	assert.Contains(t, said, "main: nothing arrives at all")
	assert.Contains(t, said, "to do: see that the receiver is on")
	code, _, talk = call(t, "explain", path, "--session", "kept", "--try")
	assert.Equal(t, exitUsage, code, talk)
	assert.Contains(t, talk, "stop it first")
	enough()
	<-done
	code, _, talk = call(t, "explain", path, "--session", "kept")
	assert.Equal(t, exitUsage, code, talk)
	assert.Contains(t, talk, "no running session answers")
}

func TestSimulateKnowsItsFaults(t *testing.T) {
	code, _, talk := call(t, "simulate", "--fault", "moon")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "got --fault moon, want one of not-inverted, parity")
}

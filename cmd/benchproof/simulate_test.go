//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/sim/world"
)

// firstLine hands on the first line that is written to it.
type firstLine struct {
	mu   sync.Mutex
	text bytes.Buffer
	line chan string
	once sync.Once
}

func (f *firstLine) Write(b []byte) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.text.Write(b)
	if line, _, ok := strings.Cut(f.text.String(), "\n"); ok {
		f.once.Do(func() { f.line <- line })
	}
	return len(b), nil
}

// The command that simulate prints listens to its bench.
func TestWatchListensToASimulatedBench(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	ctx, stop := context.WithCancel(t.Context())
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() { done <- run(ctx, []string{"simulate"}, out, &bytes.Buffer{}) }()
	words := strings.Fields(<-out.line)
	require.Equal(t, []string{os.Args[0], "watch"}, words[:2])

	listening, enough := context.WithTimeout(t.Context(), 1500*time.Millisecond)
	defer enough()
	code, heard, talk := callIn(listening, strings.NewReader(""), append(words[1:], "--session", "kept")...)
	assert.Equal(t, exitInterrupted, code, talk)
	for _, want := range []string{"main: frames are coming in", "the capture board is heard", "aid stands at second", "the bus asks for DAMPING"} {
		assert.Contains(t, heard, want)
	}
	assert.FileExists(t, filepath.Join("kept", "recording.pcapng"))
	stop()
	assert.Equal(t, exitInterrupted, <-done)
	assert.NoFileExists(t, strings.TrimPrefix(words[len(words)-1], "leads="), "its ports go with it")
}

// Between two plays the ports are gone for a while, and come back under their names.
func TestSimulatedPortsAreReplugged(t *testing.T) {
	ptys, err := world.OpenPTYs(2)
	require.NoError(t, err)
	defer func() { _ = ptys.Close() }()
	ctx, stop := context.WithCancel(t.Context())
	stop() // it waits for nothing
	require.NoError(t, replug(ctx, ptys.Ends()))
	for _, path := range ptys.Paths() {
		_, err := os.Stat(path)
		assert.NoError(t, err)
	}
}

func TestSimulateOverwritesNoSheet(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	require.NoError(t, os.WriteFile("simulated.yaml", []byte("sheet: 1\n"), 0o600))
	code, _, talk := call(t, "simulate")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "simulated.yaml is another sheet")
	code, _, talk = call(t, "simulate", "--script", "moon")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "want a file or one of")
}

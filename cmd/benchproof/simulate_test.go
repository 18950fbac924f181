//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
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

// Its hands do what is typed, what is none of a hand's doings is said, and nothing is unplugged.
func TestASimulatedBenchFollowsWhatIsTyped(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	in, keys := io.Pipe()
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	var said bytes.Buffer
	go func() {
		code, talk := callTo(t.Context(), in, out, "simulate", "--by-hand")
		said.WriteString(talk)
		done <- code
	}()
	ports := strings.Fields(<-out.line)[4:] // behind watch --sheet FILE
	listening, enough := context.WithTimeout(t.Context(), time.Minute)
	defer enough()
	heard := &untilSaid{text: "channel 2 moved", stop: enough}
	typed := make(chan error, 1)
	go func() {
		_, err := io.WriteString(keys, "stick wing 2000 over 300ms\n\n")
		rest(listening, time.Second) // until the line stands
		_, last := io.WriteString(keys, "stick aileron 2000 over 300ms\n")
		typed <- errors.Join(err, last)
	}()
	code, talk := callTo(listening, strings.NewReader(""), heard, append([]string{"watch", "--session", "kept"}, ports...)...)
	assert.Equal(t, exitInterrupted, code, talk)
	require.NoError(t, <-typed)
	assert.NotContains(t, heard.String(), "went away")
	_, err := io.WriteString(keys, "end\n")
	require.NoError(t, errors.Join(err, keys.Close()))
	assert.Equal(t, exitDone, <-done, said.String())
	assert.Contains(t, said.String(), "benchproof: found \"wing\", want")
	assert.Contains(t, said.String(), "signal off, signal on, and all other steps of a script")
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

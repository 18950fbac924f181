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
	"benchproof.example/monitor/sheet"
)

// reply is what a person does where something is said: types a line, or has the simulated hands do something.
type reply struct {
	said  string
	line  string
	moves bool // the line is for the hands
}

// builder reads what a command says and replies to it, by the first of the replies whose text is said.
type builder struct {
	replies     []reply
	typed, done io.Writer // the command's input, and that of the simulated bench

	mu     sync.Mutex
	all    bytes.Buffer
	unread string
	to     chan reply
}

func (b *builder) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.all.Write(p)
	b.unread += string(p)
	flat := strings.Join(strings.Fields(b.unread), " ")
	for _, r := range b.replies {
		if strings.Contains(flat, r.said) {
			b.unread = ""
			b.to <- r
			break
		}
	}
	return len(p), nil
}

// again is how long a builder waits for an answer to a movement before making it again: on a
// computer that stands still for a while frames are lost.
const again = 10 * time.Second

// replying types until the channel is closed.
func (b *builder) replying() {
	var latest reply
	for open := true; open; {
		select {
		case latest, open = <-b.to:
		case <-time.After(again):
		}
		switch {
		case !open:
		case latest.moves:
			_, _ = io.WriteString(b.done, latest.line+"\n")
		default:
			_, _ = io.WriteString(b.typed, latest.line+"\n")
			latest = reply{moves: true, line: "?"} // what is typed is not lost
		}
	}
}

// drafts runs a command with a builder in front of it.
func drafts(t *testing.T, hands io.Writer, replies []reply, args ...string) (code int, said string) {
	t.Helper()
	ctx, enough := context.WithTimeout(t.Context(), 2*time.Minute)
	defer enough()
	in, typed := io.Pipe()
	b := &builder{replies: replies, typed: typed, done: hands, to: make(chan reply, 64)}
	var replying sync.WaitGroup
	replying.Go(b.replying)
	root := newRoot(b, b)
	root.SetIn(in)
	root.SetArgs(args)
	f := outcome(ctx, root.ExecuteContext(ctx))
	_ = in.Close() // whoever types into it is not held up
	close(b.to)
	replying.Wait()
	return f.code, b.all.String() + f.Error()
}

// The first hour on a simulated bench: listening, a draft that is broken off and goes on, with a
// plug that comes out meanwhile, and a sitting under the sheet that it wrote.
func TestTheFirstHour(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	ctx, stop := context.WithCancel(t.Context())
	out, played := &firstLine{line: make(chan string, 1)}, make(chan error, 1)
	atHands, hands := io.Pipe()
	go func() {
		root := newRoot(out, io.Discard)
		root.SetIn(atHands)
		root.SetArgs([]string{"simulate", "--by-hand"})
		played <- root.ExecuteContext(ctx)
	}()
	defer func() {
		stop()
		_ = hands.Close()
		var f *failure
		require.True(t, errors.As(<-played, &f))
		assert.Equal(t, exitInterrupted, f.code)
	}()
	ports := strings.Fields(<-out.line)[4:] // behind watch --sheet FILE
	draft := append([]string{"draft", "-o", "my.yaml"}, ports...)

	code, said := drafts(t, hands, []reply{
		{"Type yes when all", "yes", false}, {"What is the model called?", "Reedwing", false}, {"What has it to steer with?", "plain", false},
		{"Is there a motor", "yes", false}, {"starts limit learning", "14", false}, {"What is it on?", "", false}, {"At which width does it act", "", false},
		{"How often must it be moved", "", false}, {"How many switches choose", "1", false}, {"How many places has", "4", false},
		{"to its first place, then", "aid", true}, {"its strength, set?", "q", false},
	}, draft...)
	require.Equal(t, exitInterrupted, code, said)
	assert.Contains(t, said, "mode is channel 7: first 1040 µs, second 1330 µs, third 1640 µs, fourth 1930 µs")
	assert.Contains(t, said, "the same command goes on there")
	assert.NoFileExists(t, "my.yaml")

	code, said = drafts(t, hands, []reply{
		{"Type yes when all", "yes", false}, {"its strength, set?", "none", false}, {"Elevator stick back", "elevator back", true},
		{"elevator back: channel 1", "unplug main", true}, {"went away", "plug main", true}, {"main: frames again", "elevator forward", true},
		{"Aileron stick", "s", false}, {"Rudder stick", "s", false}, {"Throttle cut off", "throttle up", true}, {"Is there a throttle cut", "no", false},
		{"Put the switches where you want a mode", "course", false}, {"type the name again", "course", false},
		{"Enter alone: no more modes", "?", true}, {"Here it is called course already", "", false}, {"Enter alone", "", false},
	}, draft...)
	require.Equal(t, exitDone, code, said)
	assert.Contains(t, said, "It goes on where it was broken off")
	assert.Contains(t, said, "benchproof watch --sheet my.yaml --bus ")
	assert.NoFileExists(t, "my.yaml.draft")
	text, err := os.ReadFile("my.yaml")
	require.NoError(t, err)
	s, _, err := sheet.ReadNew("my.yaml", text)
	require.NoError(t, err, string(text))
	assert.Len(t, s.Channels, 4, "elevator, throttle, the mode's switch and what starts limit learning")
	assert.NotEmpty(t, s.Outputs)
	require.NotNil(t, s.Stabiliser, said)
	assert.Len(t, s.Stabiliser.Modes, 1)

	recorded, err := filepath.Glob(filepath.Join(sessionsFolder, sheet.ListeningModel, "*"))
	require.NoError(t, err)
	require.Len(t, recorded, 1, "both halves of the draft are one session")
	code, said, talk := call(t, "session", "verify", recorded[0])
	assert.Equal(t, exitDone, code, said+talk)
	code, _, talk = call(t, "draft", "--from", recorded[0], "-o", "played.yaml")
	assert.Equal(t, exitDone, code, talk)
	code, said, talk = call(t, "replay", recorded[0], "--sheet", "my.yaml")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, said, "seen right")

	_, err = io.WriteString(hands, "aid\n")
	require.NoError(t, err)
	listening, enough := context.WithTimeout(t.Context(), time.Minute)
	defer enough()
	heard := &untilSaid{text: "SEEN RIGHT: at mode fourth", stop: enough}
	code, talk = callTo(listening, strings.NewReader(""), heard, append([]string{"watch", "--sheet", "my.yaml", "--session", "under-it"}, ports...)...)
	assert.Equal(t, exitInterrupted, code, talk)
	assert.Contains(t, heard.String(), "SEEN RIGHT: at mode fourth the bus asks for course")
}

// Who drafts on a port that a session listens to is told which one.
func TestADraftAsksForItsPortAlone(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	ctx, stop := context.WithCancel(t.Context())
	out, played := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() { played <- run(ctx, []string{"simulate"}, out, io.Discard) }()
	defer func() {
		stop()
		assert.Equal(t, exitInterrupted, <-played)
	}()
	ports := strings.Fields(<-out.line)[4:]
	watching, enough := context.WithTimeout(t.Context(), time.Minute)
	defer enough()
	ended := make(chan struct{})
	heard := &untilSaid{text: "18 channels come in", stop: func() {
		select {
		case <-ended:
			return
		default:
		}
		defer close(ended)
		defer enough()
		code, _, talk := call(t, append([]string{"draft", "-o", "my.yaml"}, ports...)...)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, talk, "is listened to by the session "+sessionsFolder)
	}}
	code, talk := callTo(watching, strings.NewReader(""), heard, append([]string{"watch"}, ports...)...)
	assert.Equal(t, exitInterrupted, code, talk)
	<-ended
}

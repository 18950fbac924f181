package main

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/draft/dialogue"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/unit"
)

// smallModel is a bench with two sticks and a switch, by hand.
const smallModel = `channel 1 elevator 1500 stops 1000 2000
channel 3 throttle 1000 stops 1000 2000
channel 7 aid 1040
place aid first 1040
place aid second 1330
place aid third 1640
receiver main preset
`

// deeds are what a person does: a line that is typed, with a > before it, a step of the
// script, or a time.
var carelessHour = []string{
	">no", ">yes", ">Reedwing", ">round", ">PLAIN", ">b", ">plain", ">yes", ">none", ">", "5s",
	">1", ">99", ">3", "aid second", "1s", ">r", "1s", "aid first", "1s", "aid second", "1s", "aid third", "1s",
	">none", "stick elevator 1800 over 300ms", "1s", "release elevator", "1s", ">", "stick elevator 2000 over 400ms", "800ms", "release elevator", "800ms",
	"mute main for 2s", "4s", "stick elevator 2000 over 400ms", "800ms", "release elevator", "800ms",
	"stick elevator 2000 over 400ms", "800ms", "release elevator", "800ms",
	"stick elevator 1000 over 400ms", "800ms", "release elevator", "800ms", "stick elevator 1000 over 400ms", "800ms", "release elevator", "800ms",
	">s", ">s", ">s", ">s",
	"stick throttle 2000 over 500ms", "1200ms", "stick throttle 1000 over 500ms", "1200ms",
	"stick throttle 2000 over 500ms", "1200ms", "stick throttle 1000 over 500ms", "1200ms",
	">no", ">", ">upright", ">", ">", ">", ">", ">", ">", ">", ">", ">", ">", ">", ">",
}

// inMemory keeps one sheet.
type inMemory struct{ sheet []byte }

func (s *inMemory) Load() ([]byte, error)            { return nil, fs.ErrNotExist }
func (s *inMemory) Keep([]byte) error                { return nil }
func (s *inMemory) Written() (string, []byte, error) { return "", nil, fs.ErrNotExist }

func (s *inMemory) Write(sheet []byte) (string, error) {
	s.sheet = sheet
	return "my.yaml", nil
}

// plays has hands do their deeds on a simulated bench; who hears gets its inputs, who types its lines.
func plays(t *testing.T, deeds []string, hears func(*event.Input), types func(line string), over func() bool) {
	scripted, err := script.ParseDriven("small", []byte(smallModel))
	require.NoError(t, err)
	sim, at := script.Drive(scripted, 5), unit.Time(0)
	passes := func(d time.Duration) {
		at = at.Add(unit.Duration(d))
		for _, x := range sim.Advance(int64(at)) {
			hears(&event.Input{At: unit.Time(x.At).Truncate(unit.Microsecond), Tap: uint8(x.Tap + 1), Kind: event.InputBytes, Data: x.Data})
		}
	}
	require.NoError(t, sim.Say(0, "signal on"))
	passes(2 * time.Second)
	for _, deed := range deeds {
		if over() {
			return
		}
		line, typed := strings.CutPrefix(deed, ">")
		d, err := time.ParseDuration(deed)
		switch {
		case typed:
			types(line)
			passes(time.Second)
		case err == nil:
			passes(d)
		default:
			require.NoError(t, sim.Say(int64(at), deed))
		}
	}
}

// movedOn is another one once a line was taken: each brings a sentence or another question.
func movedOn(d *dialogue.Dialogue) [2]int64 {
	now := d.Look()
	if n := len(now.News); n > 0 {
		return [2]int64{now.Asked, now.News[n-1].Number}
	}
	return [2]int64{now.Asked}
}

func smallDraft(t *testing.T, store dialogue.Store) *dialogue.Dialogue {
	sit, err := draftSession(map[string]string{"bus": "silent"}, "", 115_200)
	require.NoError(t, err)
	d, err := dialogue.Open(dialogue.Options{Protocol: sit.sheet.Protocol, Taps: sit.names(), Store: store,
		Commands: func(file string) []string { return draftCommands(file, " --bus PORT") }})
	require.NoError(t, err)
	_, err = d.Do(t.Context(), dialogue.Step{Do: dialogue.Begin})
	require.NoError(t, err)
	running, stop := context.WithCancel(context.Background())
	over := make(chan struct{})
	go func() {
		defer close(over)
		d.Run(running)
	}()
	t.Cleanup(func() {
		stop()
		<-over
	})
	return d
}

// What is typed at a terminal and what a page sends give the same sheet, byte for byte.
func TestTheTerminalsDraftIsThePages(t *testing.T) {
	page := &inMemory{}
	onPage := smallDraft(t, page)
	var said []string
	plays(t, carelessHour, onPage.Heard, func(line string) {
		step := dialogue.Step{Do: dialogue.Answer, Text: line}
		if do, ok := draftSteps[line]; ok {
			step = dialogue.Step{Do: do}
		}
		now, err := onPage.Do(t.Context(), step)
		require.NoError(t, err)
		for _, news := range now.News {
			said = append(said, news.Text)
		}
	}, func() bool { return onPage.Look().State == dialogue.Done })
	last := onPage.Look()
	require.Equal(t, dialogue.Done, last.State, "%+v\n%s", last.Question, strings.Join(said, "\n"))

	terminal := &inMemory{}
	atTerminal := smallDraft(t, terminal)
	var out bytes.Buffer
	in, typed := io.Pipe()
	d := newDraftDialogue(&liveSession{draft: atTerminal}, "my.yaml", &out, &out)
	ended := make(chan error, 1)
	go func() { ended <- d.converse(t.Context(), in) }()
	plays(t, carelessHour, atTerminal.Heard, func(line string) {
		before := movedOn(atTerminal)
		_, err := io.WriteString(typed, line+"\n")
		require.NoError(t, err)
		for {
			changed := atTerminal.Changed()
			if movedOn(atTerminal) != before {
				return
			}
			<-changed
		}
	}, func() bool { return atTerminal.Look().State != dialogue.Asking })
	require.NoError(t, <-ended)
	_ = typed.Close()
	assert.Equal(t, string(page.sheet), string(terminal.sheet))
	assert.Regexp(t, `(?s)elevator.*throttle.*upright`, string(page.sheet))
	shown := strings.Join(strings.Fields(out.String()), " ")
	for _, text := range append(said, last.Commands...) {
		assert.Contains(t, shown, strings.Join(strings.Fields(text), " "))
	}
	assert.Contains(t, shown, "Nothing came from the bus for a while.")
}

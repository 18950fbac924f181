package main

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// onTerminal is what a real terminal of 40 columns and 24 rows gets to show.
func onTerminal(t *testing.T, show func(tty *os.File)) string {
	t.Helper()
	return onTerminalOf(t, 40, 24, show)
}

// onTerminalOf is onTerminal with a size.
func onTerminalOf(t *testing.T, columns, rows uint16, show func(tty *os.File)) string {
	t.Helper()
	here, tty, err := pty.Open()
	require.NoError(t, err)
	defer func() { _ = here.Close() }()
	require.NoError(t, pty.Setsize(tty, &pty.Winsize{Cols: columns, Rows: rows}))
	read := make(chan string)
	go func() {
		text, err := io.ReadAll(here)
		assert.True(t, err == nil || errors.Is(err, syscall.EIO), "%v", err) // EIO: its other end was closed
		read <- string(text)
	}()
	show(tty)
	require.NoError(t, tty.Close())
	return strings.ReplaceAll(<-read, "\r\n", "\n")
}

func TestWhatATerminalShows(t *testing.T) {
	sh, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	now := state.State{NowNS: unit.Time(unit.Minute), Recorder: state.Recorder{Recording: true}, Taps: []state.Tap{{Name: "main", Kind: "bus", Up: true}}}
	ranOn := event.VerdictData{Verdict: event.VerdictWrong, Sentence: "the motor ran on, with all its might"}
	verdict := session.Shown{Event: event.Event{At: 2, Kind: event.VerdictChanged, Data: ranOn}}
	wrong := []*claim.Claim{{Verdict: claim.VerdictWrong, Sentence: "the motor ran on", Reopens: "failsafe"}}
	show := func(tty *os.File) {
		screen := newTerminal(tty, tty, sh, func() state.State { return now })
		screen.print([]session.Shown{verdict}, nil, false)
		screen.print(nil, []string{"the disk that keeps the session is nearly full"}, true)
		printEnding(tty, []string{"What the switches asked for:"}, wrong, false)
	}
	t.Setenv("NO_COLOR", "1")
	t.Setenv("TERM", "xterm")
	want := "\r\x1b[K 0:00.000 ! SEEN WRONG: the motor ran\n            on, with all its might\n" +
		"main SILENT | -- | throttle --" +
		"\r\x1b[Kbenchproof: the disk that keeps the\nsession is nearly full\n\n" +
		"  SEEN WRONG  the motor ran on\nMend that, then have it seen anew with:\nbenchproof reopen failsafe\n" +
		"0 seen right, 1 seen wrong, 0 open, 0\nstale. The long list comes with --all.\n"
	assert.Equal(t, want, onTerminal(t, show))
	t.Setenv("NO_COLOR", "")
	coloured := onTerminal(t, show)
	assert.Contains(t, coloured, "\x1b[1;31m 0:00.000 ! SEEN WRONG: the motor ran\x1b[0m\n")
	assert.Contains(t, coloured, "\x1b[33mmain SILENT\x1b[0m | -- | throttle --")
	t.Setenv("TERM", "dumb")
	assert.Equal(t, want, onTerminal(t, show))
}

// What was seen during a drill stands below the question, not behind it.
func TestADrillOnATerminal(t *testing.T) {
	t.Setenv("NO_COLOR", "1")
	data, err := json.Marshal(event.VerdictData{Verdict: event.VerdictRight, Sentence: "the motor stands still at its cut"})
	require.NoError(t, err)
	entry := timeline.Entry{At: 2, Kind: event.VerdictChanged, Data: data}
	assert.Equal(t, `

  [1 of 2]

      put all sticks and switches home,
      throttle at idle

  Enter when done, r to repeat, b to go back, q to abandon: 
 0:00.000   seen right: the motor stands
            still at its cut
 0:00.000   seen right: the motor stands
            still at its cut
`, onTerminal(t, func(tty *os.File) {
		e := drillDialogue{out: tty, talk: tty}
		e.prompted(event.DrillPromptedData{Number: 1, Of: 2, Text: "put all sticks and switches home, throttle at idle"})
		e.verdict(&entry)
		e.verdict(&entry)
	}))
}

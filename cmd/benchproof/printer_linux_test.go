package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/view"
)

// planted acts on a terminal in each way that there is, in a colour of ours too; a sheet
// takes only what turns the direction.
const (
	planted = "P\x1b[2J\x1b]0;x\a\r\x1b[K\x1b[1;31mOWNED\u009b31m\x9b31m\x7f\b" + turned
	turned  = "T\u202eO\u2066W\u200fN\u061c"
)

// harmless checks that nothing of an output acts, but for what is ours on a terminal.
func harmless(t *testing.T, about, output string) {
	t.Helper()
	assert.True(t, utf8.ValidString(output), "%s: %q", about, output)
	for _, own := range append(view.Sequences(), clearLine) {
		assert.NotContains(t, output, own+"OWNED", about)
		output = strings.ReplaceAll(output, own, "")
	}
	for _, r := range output {
		if r != '\n' && r != '\t' && text.Acts(r) {
			assert.Fail(t, "something acts", "%s: %U in %q", about, r, output)
			return
		}
	}
}

// both runs a command with its output in a pipe and on a terminal, and gives what the pipe got.
func both(t *testing.T, args ...string) (output string) {
	t.Helper()
	var out, talk bytes.Buffer
	run(t.Context(), args, &out, &talk)
	about := strings.Join(args, " ")
	harmless(t, about, talk.String())
	if args[0] != "replay" { // its lines have a checksum: a pipe gets them as they are
		harmless(t, about, out.String())
	}
	harmless(t, about+" on a terminal", onTerminal(t, func(tty *os.File) { run(t.Context(), args, tty, tty) }))
	return out.String() + talk.String()
}

// Whatever others may have given a name, it is shown and does nothing: not in what any
// command prints, not in a report's page.
func TestNothingPlantedActs(t *testing.T) {
	t.Setenv("NO_COLOR", "")
	t.Setenv("TERM", "xterm")
	t.Chdir(sockettest.Folder(t))
	model := strings.NewReplacer("Reedwing 1400", turned, "left aileron", "left "+turned).Replace(string(sheet.Starter()))
	require.Contains(t, model, "model: "+turned)
	sheetFile, folder := planted+".yaml", planted
	require.NoError(t, os.WriteFile(sheetFile, []byte(model), 0o600))

	ctx, stop := context.WithCancel(t.Context())
	done := make(chan string, 1)
	go func() {
		done <- onTerminal(t, func(tty *os.File) {
			run(ctx, []string{"watch", "--sheet", sheetFile, "--session", folder, "--bus", "main=" + planted + "port"}, tty, tty)
		})
	}()
	waitFor(t, folder)
	assert.Contains(t, both(t, "mark", "--session", folder, "seen "+turned), `seen T\u202eO`)
	both(t, "mark", "--session", folder, planted)
	both(t, "reopen", "--session", folder, planted)
	both(t, "drill", "--session", folder)
	both(t, "drill", "--session", folder, planted)
	both(t, "drill", "--session", folder, "mode", "--by", turned)
	both(t, "drill", "--session", folder, "mode", "--by", planted)
	stop()
	watched := <-done
	harmless(t, "watch", watched)
	assert.Contains(t, watched, `T\u202eO`)

	for _, args := range [][]string{
		{"replay", folder}, {"report", folder}, {"report", folder, "--json"}, {"compare", folder, folder},
		{"compare", folder, folder, "--json"}, {"decode", filepath.Join(folder, "recording.pcapng")},
		{"sheet", "verify", sheetFile}, {"sheet", "verify", sheetFile, "--json"},
	} {
		both(t, args...)
	}
	html, err := os.ReadFile(filepath.Join(folder, "report.html"))
	require.NoError(t, err)
	harmless(t, "the report", string(html))
	assert.Contains(t, string(html), `T\u202eO`)

	for _, args := range [][]string{
		{planted}, {"--" + planted}, {"watch", "--sheet", planted, "--bus", planted}, {"watch", "--sheet", sheetFile, "--bus", planted + "=" + planted},
		{"watch", "--sheet", sheetFile, "--bus", "x", "--listen", planted}, {"watch", "--sheet", sheetFile, "--bus", "x", "--token-file", planted, "--listen", "x"},
		{"replay", planted + "x"}, {"replay", folder, "--sheet", planted}, {"replay", folder, "--require", planted}, {"replay", folder, "--speed", planted},
		{"decode", planted + "x"}, {"report", planted + "x"}, {"compare", planted + "x", folder}, {"sheet", "verify", planted},
		{"explain", planted}, {"guide", planted}, {"simulate", planted}, {"demo", "--session", planted}, {"mark", planted, "--session", "x" + planted},
		{"watch", "--config", planted}, {"report", folder, planted}, {"__complete", "replay", planted},
	} {
		both(t, args...)
	}
}

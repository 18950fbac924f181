package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// completions asks as a shell does: the choices without their descriptions, and the last
// line, which says what else to offer.
func completions(t *testing.T, words ...string) (choices []string, files string) {
	t.Helper()
	code, out, talk := call(t, append([]string{"__complete"}, words...)...)
	require.Equal(t, exitDone, code, talk)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	for _, l := range lines[:len(lines)-1] {
		choice, _, _ := strings.Cut(l, "\t")
		choices = append(choices, choice)
	}
	return choices, lines[len(lines)-1]
}

const (
	andFiles  = ":0"
	noFiles   = ":4"
	filesLike = ":8"
	onlyDirs  = ":16"
)

// The folder has one sheet beside other files, and a session of another model.
func TestCompletions(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("starter.yaml", sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile("other.yaml", []byte("no: sheet\n"), 0o600))
	kept := filepath.Join("sessions", "two", "2026-05-02-110000")
	require.NoError(t, os.MkdirAll(kept, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(kept, "sheet.yaml"), sheettest.TwoSwitches(), 0o600))
	for _, c := range []struct {
		words string // the last is being typed; a dot for nothing yet
		files string
		some  []string // choices that must be among those given
		none  []string // and must not
	}{
		{"demo --script .", andFiles, []string{"wing", "good"}, nil},
		{"simulate --script .", andFiles, []string{"wing", "good"}, nil},
		{"guide .", noFiles, []string{"failsafe", "service"}, nil},
		{"guide failsafe .", noFiles, nil, []string{"service"}},
		{"drill .", noFiles, []string{"mode", "gain", "failsafe"}, nil},
		{"reopen .", noFiles, []string{"everything", "failsafe", "outputs", "aileron"}, []string{"assist"}},
		{"reopen --session " + kept + " .", noFiles, []string{"everything", "inner"}, []string{"strength"}},
		{"mark .", noFiles, []string{"order/aileron", "failsafe/throttle"}, nil},
		{"mark order/aileron .", noFiles, nil, nil},
		{"reopen --session nowhere .", noFiles, nil, []string{"everything"}},
		{"decode --protocol .", noFiles, protocols.All().Names(), nil},
		{"watch --sheet .", filesLike, []string{"yaml"}, nil},
		{"sheet verify .", filesLike, []string{"yaml"}, nil},
		{"watch --session .", onlyDirs, nil, nil},
		{"report .", onlyDirs, nil, nil},
		{"session verify .", onlyDirs, nil, nil},
		{"session export .", onlyDirs, nil, nil},
		{"session thin .", onlyDirs, nil, nil},
		{"compare " + kept + " .", onlyDirs, nil, nil},
	} {
		t.Run(c.words, func(t *testing.T) {
			words := strings.Fields(c.words)
			if last := len(words) - 1; words[last] == "." {
				words[last] = ""
			}
			choices, files := completions(t, words...)
			assert.Equal(t, c.files, files)
			assert.Subset(t, choices, c.some)
			for _, n := range c.none {
				assert.NotContains(t, choices, n)
			}
			if len(c.some) == 0 {
				assert.Empty(t, choices)
			}
		})
	}
}

// Of two sheets in the folder neither is the one at hand.
func TestCompletionsOfTwoSheets(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("one.yaml", sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile("two.yml", sheettest.TwoSwitches(), 0o600))
	choices, _ := completions(t, "drill", "")
	assert.Empty(t, choices)
}

func TestCompletionsOfPorts(t *testing.T) {
	list := []port.Info{{Port: "/dev/ttyUSB0", Product: "an adapter"}, {Port: "/dev/ttyACM0"}}
	for typed, want := range map[string][]string{
		"":         {"/dev/ttyUSB0\tan adapter", "/dev/ttyACM0\t"},
		"/dev/tty": {"/dev/ttyUSB0\tan adapter", "/dev/ttyACM0\t"},
		"second=":  {"second=/dev/ttyUSB0\tan adapter", "second=/dev/ttyACM0\t"},
	} {
		assert.Equal(t, want, completePorts(list, typed), typed)
	}
	code, _, talk := call(t, "__complete", "watch", "--bus", "")
	assert.Equal(t, exitDone, code, talk)
}

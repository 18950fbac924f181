package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

func TestVerifySaysWhatFollows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "model.yaml")
	require.NoError(t, os.WriteFile(path, sheet.Starter(), 0o600))
	code, out, _ := call(t, "sheet", "verify", path)
	assert.Zero(t, code)
	assert.Contains(t, out, "claims: order 4, alone 4, travel 12,")
	assert.Contains(t, out, "It leaves untested:\n  what the surfaces do in hold-course when the model is tilted: does is left out\n")
}

func TestVerifySaysDoubtsAndRefusesMistakes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "model.yaml")
	text := strings.Replace(string(sheet.Starter()), "kind: momentary\n    rest: 1040                # the width when "+
		"let go\n    pressed: 1930             #", "kind: switch\n    positions: {rest: 1040, pressed: 1930} #", 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	code, out, talk := call(t, "sheet", "verify", path)
	assert.Zero(t, code, talk)
	assert.Regexp(t, `but: .*model\.yaml:\d+:\d+: limit-learning starts from teach, a switch that is not momentary`, out)
	code, out, talk = call(t, "sheet", "verify", "--json", path)
	assert.Zero(t, code)
	assert.Equal(t, "[]\n", out, "people script against this: mistakes alone")
	assert.Contains(t, talk, "a switch that is not momentary")

	text = strings.Replace(string(sheet.Starter()), "counts: [172, 1811]", "counts: [988, 2012]", 1)
	text = strings.Replace(text, "us: [988, 2012]             #", "us: [172, 1811]             #", 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	code, _, talk = call(t, "sheet", "verify", path)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "counts and widths are taken for each other")
	code, _, talk = call(t, "watch", "--sheet", path, "--bus", "/dev/x")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "counts and widths are taken for each other")
}

// A session that goes on reads its sheet as when it began.
func TestSheetOfASessionThatGoesOn(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "model.yaml")
	text := "sheet: 1\nmodel: M\nscale: {counts: [988, 2012], us: [172, 1811]}\nchannels: {1: {name: aileron, kind: stick, ends: {left: 988, right: 1800}}}\n"
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	folder := session.Folder(filepath.Join(dir, "session"))
	_, _, _, err := sheetFor(folder, path)
	require.ErrorContains(t, err, "counts and widths are taken for each other")
	require.NoError(t, os.MkdirAll(string(folder), 0o755))
	require.NoError(t, os.WriteFile(folder.Path(session.RecordingFile), nil, 0o600))
	_, doubts, _, err := sheetFor(folder, path)
	require.NoError(t, err)
	assert.Empty(t, doubts)
}

func TestExplain(t *testing.T) {
	code, out, _ := call(t, "sheet", "explain")
	assert.Zero(t, code)
	assert.Regexp(t, `(?s)^sheet\n    the format of this file.*\nlink\.missed_at_most\n`, out)
	for _, c := range []struct {
		key  string
		code int
		want string
	}{
		{"gain.law", exitDone, "gain.law\n    one-sided = none at zero"},
		{"gain", exitDone, "\n    gain.law: one-sided = "},
		{"channels.3.neutral", exitDone, "channels.*.neutral\n"},
		{"within", exitDone, "in what time, with its unit.\n    What stands there: a time; required.\n    As in: within: 5s\nfailsafe.within\n"},
		{"taps.main.carries", exitDone, "one of heard, stabilised, unknown; with kind bus; left\n    out: unknown."},
		{"failsafe.heard.default", exitDone, "failsafe.heard.default\n"},
		{"lawn", exitUsage, `got the key "lawn", want perhaps law`},
		{"aeroplane", exitUsage, "one of those that are listed with"},
	} {
		code, out, talk := call(t, "sheet", "explain", c.key)
		assert.Equal(t, c.code, code, c.key)
		assert.Contains(t, out+talk, c.want, c.key)
	}
}

func TestMistakesSayWhereTheirKeysAreExplained(t *testing.T) {
	path := filepath.Join(t.TempDir(), "model.yaml")
	text := strings.Replace(string(sheet.Starter()), "from: guess", "from: memory", 1)
	text = strings.Replace(text, "kind: knob", "kind: knop", 1)
	text = strings.Replace(text, "  law: one-sided", "  way: one-sided", 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	code, _, talk := call(t, "sheet", "verify", path)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `would be right`+"\n"+"what belongs there:\n"+`  benchproof sheet explain "channels.*.kind"`+
		"\n  benchproof sheet explain gain\n  benchproof sheet explain stabiliser.windows.from\n")
}

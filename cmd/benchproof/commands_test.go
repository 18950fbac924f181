package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
)

// call runs the program in this process.
func call(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, talk bytes.Buffer
	code = run(t.Context(), args, &out, &talk)
	return code, out.String(), talk.String()
}

// golden compares with a file, or rewrites it.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "make it with: make golden")
	require.Equal(t, string(want), got, path)
}

func TestDecodeRawFiles(t *testing.T) {
	files, err := filepath.Glob("../../testdata/raw/*.bus")
	require.NoError(t, err)
	require.Len(t, files, 5)
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			code, out, talk := call(t, "decode", f)
			if strings.Contains(f, "noise") {
				assert.Equal(t, exitWrong, code)
			} else {
				assert.Equal(t, exitDone, code)
			}
			golden(t, strings.TrimSuffix(f, ".bus")+".decoded", out+strings.ReplaceAll(talk, f, filepath.Base(f)))
		})
	}
}

// The first and the 26th frame of a clean file end where the definition puts
// them: ⌊i/25⌋·period + (i mod 25 + 1)·120 µs with i the frame's last byte.
func TestDecodeDatesRawBytes(t *testing.T) {
	code, out, talk := call(t, "decode", "../../testdata/raw/clean.bus", "--period", "14ms")
	require.Equal(t, exitDone, code, talk)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	require.Len(t, lines, 120)
	assert.True(t, strings.HasPrefix(lines[0], `{"t_ns":3000000,"offset":0,"frame":{"counts":[992,992,992,`), lines[0])
	assert.True(t, strings.HasPrefix(lines[25], `{"t_ns":353000000,"offset":625,`), lines[25])
	assert.Equal(t, "3000 bytes, 120 frames, 0 bytes refused\n", talk)
}

func TestReplayOfRawBytes(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "s.yaml")
	require.NoError(t, os.WriteFile(path, sheet.Starter(), 0o600))
	code, out, talk := call(t, "replay", "../../testdata/raw/flags.bus", "--sheet", path)
	require.Equal(t, exitDone, code, talk)
	golden(t, "../../testdata/raw/flags.timeline", regexp.MustCompile(`"build":"[^"]*"`).ReplaceAllString(
		regexp.MustCompile(`,"crc":"[0-9a-f]{8}"`).ReplaceAllString(out, ""), `"build":""`))
}

func TestSheetNewVerifies(t *testing.T) {
	code, out, _ := call(t, "sheet", "new")
	require.Equal(t, exitDone, code)
	path := filepath.Join(t.TempDir(), "new.yaml")
	require.NoError(t, os.WriteFile(path, []byte(out), 0o600))
	code, out, talk := call(t, "sheet", "verify", path)
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "is in order: Reedwing 1400")
	code, out, _ = call(t, "sheet", "verify", path, "--json")
	assert.Equal(t, exitDone, code)
	assert.Equal(t, "[]\n", out)
}

func TestSheetVerifyExplains(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bad.yaml")
	require.NoError(t, os.WriteFile(path, []byte("sheet: 1\nmodel: M\nchanels: {}\n"), 0o600))
	code, _, talk := call(t, "sheet", "verify", path)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, path+":3:1")
	assert.Contains(t, talk, "channels")
	code, out, talk := call(t, "sheet", "verify", path, "--json")
	assert.Equal(t, exitUsage, code)
	assert.Empty(t, talk)
	var list []map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	assert.NotEmpty(t, list)
}

// What goes wrong gets an exit code and a sentence with the remedy.
func TestSentences(t *testing.T) {
	dir := t.TempDir()
	good, empty, foreign := filepath.Join(dir, "good.yaml"), filepath.Join(dir, "empty"), filepath.Join(dir, "foreign.pcapng")
	require.NoError(t, os.WriteFile(good, sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	require.NoError(t, os.WriteFile(foreign, []byte("\x0a\x0d\x0d\x0a\x00\x00\x00\x1c\x1a\x2b\x3c\x4d"), 0o600))
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"watch"}, exitUsage, "the model's sheet with --sheet FILE, if there is one"},
		{[]string{"watch", "--sheet", dir + "/none"}, exitUsage, "no such file"},
		{[]string{"watch", "--sheet", good}, exitUsage, "name the adapter's port with --bus PORT"},
		{[]string{"watch", "--sheet", good, "--bus", "other=/dev/x"}, exitUsage, "want NAME=PORT with a bus tap of the sheet, each once: main"},
		{[]string{"watch", "--sheet", good, "--bus", "/dev/x", "--bus", "/dev/y"}, exitUsage, "no further bus tap; its bus taps are: main"},
		{[]string{"watch", "--sheet", good, "--leads", "main=/dev/x"}, exitUsage, "want NAME=PORT with a pulses tap of the sheet, each once: leads"},
		{[]string{"watch", "--sheet", good, "--leads", "/dev/x", "--leads", "/dev/y"}, exitUsage, "no further pulses tap; its pulses taps are: leads"},
		{[]string{"watch", "--sheet", good, "--leads", "/dev/x", "--leads-baud", "9"}, exitUsage, "want a rate from 1200 to 4000000"},
		{[]string{"watch", "--sheet", good, "--bus", "/dev/x", "--checkpoint-beats", "0"}, exitUsage, "want 1 or more"},
		{[]string{"watch", "--nonsense"}, exitUsage, "unknown flag"},
		{[]string{"nonsense"}, exitUsage, "unknown command"},
		{[]string{"sheet"}, exitUsage, "which? sheet new"},
		{[]string{"replay"}, exitUsage, "replay wants the folder of a session, or one file, got none; for instance: benchproof replay sessions/"},
		{[]string{"replay", dir + "/none"}, exitUsage, "nothing to replay"},
		{[]string{"replay", dir}, exitUsage, "is no session"},
		{[]string{"replay", empty}, exitUsage, "name one with --sheet FILE"},
		{[]string{"replay", foreign, "--sheet", good}, exitUsage, "big-endian"},
		{[]string{"replay", empty, "--sheet", good, "--speed", "0"}, exitUsage, "a number of times real time"},
		{[]string{"replay", empty, "--sheet", good, "--period", "1ms"}, exitUsage, "want at least"},
		{[]string{"decode", dir + "/none"}, exitUsage, "nothing to decode"},
		{[]string{"decode", empty}, exitWrong, "no frame in"},
		{[]string{"decode", foreign}, exitUsage, "big-endian"},
		{[]string{"decode", empty, "--period", "2ms"}, exitUsage, "want at least the 3ms"},
		{[]string{"demo", "--script", "nonsense"}, exitUsage, "want a file or one of"},
	} {
		code, _, talk := call(t, c.args...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		assert.Contains(t, talk, c.want, "%v", c.args)
		assert.True(t, strings.HasPrefix(talk, "benchproof: ") || strings.Contains(talk, "\nbenchproof: "), "%v: %q", c.args, talk)
	}
}

func TestSettingsComeFromFlagThenEnvironmentThenFile(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	require.NoError(t, os.WriteFile("benchproof.yaml", []byte("script: from-file\n"), 0o600))
	_, _, talk := call(t, "demo")
	assert.Contains(t, talk, "from-file")
	t.Setenv("BENCHPROOF_SCRIPT", "from-environment")
	_, _, talk = call(t, "demo")
	assert.Contains(t, talk, "from-environment")
	_, _, talk = call(t, "demo", "--script", "from-flag")
	assert.Contains(t, talk, "from-flag")
	require.NoError(t, os.WriteFile("benchproof.yaml", []byte("scropt: x\n"), 0o600))
	code, _, talk := call(t, "demo")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `got "scropt", want one of`)
	code, _, talk = call(t, "demo", "--config", "none.yaml")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "none.yaml")
}

// An earlier build may have made other remarks in the sheet of its demo.
func TestDemoGoesOnWhereOnlyRemarksDiffer(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "kept")
	code, _, talk := call(t, "demo", "--script", "hold", "--for", "200ms", "--session", folder)
	require.Equal(t, exitDone, code, talk)
	kept := filepath.Join(folder, "sheet.yaml")
	text, err := os.ReadFile(kept)
	require.NoError(t, err)
	for _, x := range []struct {
		text string
		want int
	}{{"# an older remark\n" + string(text), exitDone}, {strings.Replace(string(text), "Reedwing 1400", "Another", 1), exitUsage}} {
		require.NoError(t, os.WriteFile(kept, []byte(x.text), 0o600))
		code, _, talk = call(t, "demo", "--script", "hold", "--for", "200ms", "--session", folder)
		assert.Equal(t, x.want, code, talk)
		after, err := os.ReadFile(kept)
		require.NoError(t, err)
		assert.Equal(t, x.text, string(after))
	}
}

// The demo is watched through a real pseudo-terminal, kept, and replayed.
func TestDemoKeepsASessionThatReplays(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "kept")
	code, out, talk := call(t, "demo", "--for", "3500ms", "--session", folder)
	require.Equal(t, exitDone, code, talk)
	for _, want := range []string{"session began: Reedwing 1400", "frames are coming in", "the bus asks for DAMPING",
		"session ended", "What the switches asked for:"} {
		assert.Contains(t, out, want)
	}
	assert.Contains(t, talk, "replay "+folder)
	journal, err := os.ReadFile(filepath.Join(folder, "timeline.jsonl"))
	require.NoError(t, err)
	code, out, talk = call(t, "replay", folder)
	require.Equal(t, exitDone, code, talk)
	claims, found := strings.CutPrefix(out, string(journal))
	require.True(t, found)
	assert.Contains(t, claims, `{"verdict":"open","claim":"mode/damping/second","sentence":"the bus asks for damping, but aid was not seen to move`)
	assert.Contains(t, claims, `{"verdict":"open","claim":"order/aileron",`)
	code, _, _ = call(t, "replay", folder, "--require", "right")
	assert.Equal(t, exitWrong, code, "open claims count where right is required")
	code, out, talk = call(t, "decode", filepath.Join(folder, "recording.pcapng"))
	require.Equal(t, exitDone, code, talk)
	assert.Greater(t, strings.Count(out, "\n"), 400)

	recording := filepath.Join(folder, "recording.pcapng")
	info, err := os.Stat(recording)
	require.NoError(t, err)
	require.NoError(t, os.Truncate(recording, info.Size()-11))
	code, _, talk = call(t, "replay", folder)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "its end was never written")
}

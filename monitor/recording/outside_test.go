//go:build outside

package recording_test

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
)

// outsider runs a tool of others on a recording; a machine without it fails.
func outsider(t *testing.T, name string, args ...string) string {
	path, err := exec.LookPath(name)
	require.NoError(t, err, "the outside check needs %s", name)
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "TZ=UTC")
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	require.NoError(t, err, "%s: %s", name, complaints.String())
	for line := range strings.Lines(complaints.String()) {
		require.Contains(t, line, "Running as user", "%s complains", name)
	}
	return string(out)
}

func recorded(t *testing.T, inputs []event.Input) string {
	file := append(write(t, section(0), inputs[:8]), write(t, section(8), inputs[8:])...)
	path := filepath.Join(t.TempDir(), "recording.pcapng")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	return path
}

func TestOthersReadPackets(t *testing.T) {
	inputs := every(t)
	path := recorded(t, inputs)
	out := outsider(t, "tshark", "-r", path, "-T", "fields", "-E", "separator=|", "-E", "occurrence=a",
		"-e", "frame.number", "-e", "frame.time_epoch", "-e", "rtacser.timestamp", "-e", "frame.len",
		"-e", "frame.interface_name", "-e", "frame.comment", "-e", "rtacser.eventtype", "-e", "data.data", "-e", "frame.packet_id")
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	require.Len(t, lines, len(inputs))
	events := map[event.InputKind]string{event.InputBytes: "2", event.InputBadBytes: "8", event.InputOverrun: "10",
		event.InputRecordingGap: "5", event.InputEnd: "6"}
	for i, line := range lines {
		in, f := inputs[i], strings.Split(line, "|")
		require.Len(t, f, 9, line)
		stamp := base + int64(in.At)
		assert.Equal(t, fmt.Sprint(i+1), f[0])
		assert.Equal(t, fmt.Sprintf("%d.%09d", stamp/1e9, stamp%1e9), f[1], "to the nanosecond")
		assert.Equal(t, fmt.Sprintf("%d.%06d000", stamp/1e9, stamp%1e9/1e3), f[2], "the link type's own header")
		assert.Equal(t, fmt.Sprint(12+len(in.Data)), f[3])
		assert.Equal(t, []string{"bench", "main", "leads"}[in.Tap], f[4])
		assertComment(t, in, f[5])
		want := events[in.Kind]
		if want == "" {
			want = "0"
		}
		assert.Equal(t, want, fmt.Sprint(number(t, f[6])), in.Kind)
		assert.Equal(t, hex.EncodeToString(in.Data), f[7], in.Kind)
		assert.Equal(t, fmt.Sprint(int64(i)<<8|int64(in.Tap)), fmt.Sprint(number(t, f[8])))
	}
}

func number(t *testing.T, text string) int64 {
	var n int64
	_, err := fmt.Sscan(text, &n)
	require.NoError(t, err, text)
	return n
}

func assertComment(t *testing.T, in event.Input, comment string) {
	if in.Kind == event.InputBytes || in.Kind == event.InputBadBytes {
		assert.Empty(t, comment)
		return
	}
	word, text, _ := strings.Cut(comment, ": ")
	assert.Equal(t, in.Kind.String(), word)
	switch {
	case in.Kind == event.InputBeat:
		assert.Equal(t, "2026-05-02T09:14:04.345678901Z", text)
	case in.Kind == event.InputMark && len(in.Data) < 1000:
		assert.Equal(t, "end: I changed something \uFFFD, Größe & <b>", text)
	case in.Kind == event.InputRecordingGap:
		assert.Equal(t, "disk full", text)
	}
}

func TestOthersReadTheFile(t *testing.T) {
	inputs := every(t)
	path := recorded(t, inputs)
	about := outsider(t, "capinfos", "-M", path)
	for _, want := range []string{
		"File type:           pcapng",
		"Number of packets:   23",
		"File encapsulation:  rtac-serial",
		"File timestamp precision:  nanoseconds (9)",
		"First packet time:   2026-05-02 09:14:03.345678901",
		"Last packet time:    2026-05-02 09:14:04.354678901",
		"Strict time order:   True",
		"Capture application: benchproof",
		`Capture comment:     {"recording":3,"base_ns":1777713243345678901,"first":0,`,
		`Capture comment:     {"recording":3,"base_ns":1777713243345678901,"first":8,`,
		"Name = main", "Name = leads", "Name = bench",
		"Description = /dev/serial/by-id/adapter",
		"Encapsulation = RTAC serial-line",
		`"settings":"100000 8E2","latency":"1 ms"`,
	} {
		assert.Contains(t, about, want)
	}
	full := outsider(t, "tshark", "-r", path, "-V")
	assert.Contains(t, full, "RTAC Serial Line")
	assert.NotContains(t, full, "Malformed")
	assert.Contains(t, full, "Interface name: main")
}

// Another program that copies the recording drops what proves its packets. Such
// a copy is no evidence: it must read as damage, never as inputs.
func TestCopyByOthersIsNotTakenForOurs(t *testing.T) {
	copied := filepath.Join(t.TempDir(), "copied.pcapng")
	outsider(t, "editcap", recorded(t, every(t)), copied)
	file, err := os.ReadFile(copied)
	require.NoError(t, err)
	got, r := read(t, file)
	require.Len(t, got, 1)
	gapOf(t, got[0])
	assert.Equal(t, "packet hash missing", r.Damages()[0].Why)
}

// inParts is a recording in a folder: closed parts, packed and plain, and the open one.
func inParts(t *testing.T, inputs []event.Input) string {
	d := closed(t, inputs, len(inputs)/5)
	line, err := recording.AppendCheckpoint(nil, &recording.Checkpoint{Session: session, Input: int64(len(inputs)/5 + 1), Engine: []byte(`"state"`)})
	require.NoError(t, err)
	require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
	require.NoError(t, recording.Pack(t.Context(), d, 2, line))
	require.NoError(t, recording.Pack(t.Context(), d, 4, nil))
	folder := t.TempDir()
	for _, name := range names(t, d) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), d.Content(name), 0o600))
	}
	return folder
}

// A reader in another language, written by what DEVELOPERS.md says, finds every input.
func TestAReaderOfOthersFindsEveryInput(t *testing.T) {
	_, err := exec.LookPath("zstd")
	require.NoError(t, err, "the outside check needs zstd")
	inputs := append(every(t), later(hour(true)[:40_000], every(t))...)
	for i := range inputs { // dates of the hour begin anew
		if i > 0 {
			inputs[i].At = max(inputs[i].At, inputs[i-1].At)
		}
	}
	out := outsider(t, "python3", "testdata/read.py", inParts(t, inputs))
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	require.Len(t, lines, len(inputs))
	for i := range inputs {
		in := &inputs[i]
		require.Equal(t, fmt.Sprintf("%d %d %d %s %x", i, base+int64(in.At), in.Tap, in.Kind, in.Data), lines[i])
	}
	frozen := "../../testdata/corpus/reedwing-resumed/recording.pcapng"
	text, err := os.ReadFile(frozen)
	require.NoError(t, err)
	first, _ := read(t, text)
	out = outsider(t, "python3", "testdata/read.py", frozen)
	require.Equal(t, len(first), strings.Count(out, "\n"), "of format 1")
}

// Packed parts are whole files to Debian's zstd, and what is in them, like the open part and
// an export, to packet analysers.
func TestOthersReadPartsAndExports(t *testing.T) {
	inputs := append(every(t), later(steady(500), every(t))...)
	folder := inParts(t, inputs)
	packed := filepath.Join(folder, "recording-000002.pcapng.zst")
	outsider(t, "zstd", "-q", "-t", packed)
	plain := filepath.Join(t.TempDir(), "unpacked.pcapng")
	outsider(t, "zstd", "-q", "-d", packed, "-o", plain)
	about := outsider(t, "capinfos", "-M", plain)
	assert.Contains(t, about, "File encapsulation:  rtac-serial")
	assert.Contains(t, about, `{"recording":3,"base_ns":1777713243345678901,"first":104,`)
	assert.Contains(t, outsider(t, "tshark", "-r", plain, "-T", "fields", "-e", "frame.comment"), "checkpoint: part 1 of 1")
	assert.Contains(t, outsider(t, "tshark", "-r", filepath.Join(folder, recording.OpenName), "-V"), "RTAC Serial Line")

	in, err := files.OpenFolder(folder)
	require.NoError(t, err)
	defer func() { require.NoError(t, in.Close()) }()
	whole := filepath.Join(t.TempDir(), "whole.pcapng")
	require.NoError(t, files.WriteNamedBy(whole, func(to io.Writer) error {
		_, err := recording.Export(t.Context(), in, recording.Span{}, to)
		return err
	}))
	about = outsider(t, "capinfos", "-M", whole)
	assert.Contains(t, about, fmt.Sprintf("Number of packets:   %d", len(inputs)))
	assert.Contains(t, about, "Strict time order:   True")
	fields := outsider(t, "tshark", "-r", whole, "-T", "fields", "-e", "frame.time_epoch", "-e", "data.data")
	lines := strings.Split(strings.TrimSuffix(fields, "\n"), "\n")
	require.Len(t, lines, len(inputs))
	for i := range inputs {
		stamp := base + int64(inputs[i].At)
		require.Equal(t, fmt.Sprintf("%d.%09d\t%x", stamp/1e9, stamp%1e9, inputs[i].Data), lines[i])
	}
}

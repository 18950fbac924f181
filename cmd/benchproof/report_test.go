package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// kept is a folder with a record alone, as it stands in the tree, changed.
func kept(t *testing.T, dir, name string, change func(*record.Record)) string {
	t.Helper()
	data, err := os.ReadFile("../../monitor/report/testdata/small.record.json")
	require.NoError(t, err)
	r, err := record.Decode(data)
	require.NoError(t, err)
	change(r)
	folder := filepath.Join(dir, name)
	require.NoError(t, os.Mkdir(folder, 0o755))
	require.NoError(t, r.Keep(filestest.Folder(t, folder)))
	return folder
}

func unchanged(*record.Record) {}

// silence is a session in which nothing was heard.
func silence(t *testing.T, folder string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(folder, 0o755))
	require.NoError(t, os.WriteFile(session.Folder(folder).Path(session.SheetFile), sheet.Starter(), 0o600))
	const wall = 1_777_712_400_000_000_000
	var out bytes.Buffer
	w, err := recording.NewWriter(&out, recording.Section{Base: wall, Build: "test"})
	require.NoError(t, err)
	require.NoError(t, w.Write(&event.Input{Kind: event.InputBegin, Data: []byte(`{"build":"test","wall_ns":1777712400000000000,"taps":[]}`)}))
	require.NoError(t, w.Write(&event.Input{At: unit.Time(5 * unit.Second), Kind: event.InputEnd}))
	require.NoError(t, w.Flush())
	require.NoError(t, os.WriteFile(session.Folder(folder).Path(session.RecordingFile), out.Bytes(), 0o600))
}

func TestReportOfASession(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "s")
	silence(t, folder)
	code, out, talk := call(t, "report", folder)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "Reedwing 1400: 0 seen right, 0 seen wrong,")
	page, err := os.ReadFile(filepath.Join(folder, "report.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "Nothing was heard at the tap main")
	data, err := os.ReadFile(filepath.Join(folder, "record.json"))
	require.NoError(t, err)
	code, out, talk = call(t, "report", folder, "--json")
	require.Equal(t, exitDone, code, talk)
	assert.Equal(t, string(data), out)

	// What watch leaves behind is the same record.
	require.NoError(t, os.Remove(filepath.Join(folder, "record.json")))
	var said bytes.Buffer
	keepRecord(t.Context(), session.Folder(folder), nil, &said)
	assert.Empty(t, said.String())
	again, err := os.ReadFile(filepath.Join(folder, "record.json"))
	require.NoError(t, err)
	assert.Equal(t, string(data), string(again))
}

func TestReportTellsWhatChangedSince(t *testing.T) {
	dir := t.TempDir()
	kept(t, dir, "before", func(r *record.Record) { r.Begun = r.Begun.Add(-48 * time.Hour) })
	older := kept(t, dir, "older", func(r *record.Record) {
		r.Begun = r.Begun.Add(-96 * time.Hour)
		r.Claims[0].Verdict = "seen wrong"
	})
	kept(t, dir, "empty", func(r *record.Record) {
		r.Begun = r.Begun.Add(-24 * time.Hour)
		for i := range r.Taps {
			r.Taps[i].Heard = false
		}
	})
	now := kept(t, dir, "now", unchanged)
	code, page, talk := call(t, "report", now, "-o", "-")
	require.Equal(t, exitDone, code, talk)
	said := strings.Join(strings.Fields(talk), " ")
	assert.Contains(t, said, "the earlier session "+filepath.Join(dir, "empty")+" is passed over: nothing was heard in it")
	assert.Contains(t, said, "what changed is told since "+filepath.Join(dir, "before")+", the latest earlier session in which something was heard")
	assert.Contains(t, page, "Passed over: empty: nothing was heard in it.")
	assert.Contains(t, page, "Compared with the session of 30 April 2026, 09:00 UTC (folder before):")
	assert.Contains(t, page, "Nothing moved by more than chance explains")
	code, page, talk = call(t, "report", now, "-o", "-", "--since", older)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, page, "(folder older):")
	assert.NotContains(t, page, "Passed over", "another was named")
	assert.Empty(t, talk)
	assert.Contains(t, page, "Was SEEN WRONG and is seen right now: aileron moves channel 1")
}

func TestReportSaysThatAllEarlierSessionsArePassedOver(t *testing.T) {
	dir := t.TempDir()
	kept(t, dir, "empty", func(r *record.Record) {
		r.Begun = r.Begun.Add(-24 * time.Hour)
		r.Taps = nil
	})
	code, page, talk := call(t, "report", kept(t, dir, "now", unchanged), "-o", "-")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, page, "Nothing to compare with: each earlier session of this model beside this one was passed over.")
}

func TestCompare(t *testing.T) {
	dir := t.TempDir()
	a, b := kept(t, dir, "a", unchanged), kept(t, dir, "b", unchanged)
	worse := kept(t, dir, "worse", func(r *record.Record) {
		r.Claims[0].Verdict = "seen wrong"
		r.Claims[0].Sentence = "it went the wrong way"
	})
	code, out, talk := call(t, "compare", a, b)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "Nothing moved by more than chance explains")
	code, out, _ = call(t, "compare", a, worse)
	require.Equal(t, exitWrong, code)
	assert.Contains(t, out, "Was seen right and is SEEN WRONG now: it went the wrong way [order/aileron]")
	assert.Contains(t, out, "In all: 1 claim got worse. Nothing else changed.")
	code, _, _ = call(t, "compare", worse, a)
	require.Equal(t, exitDone, code)
	unseen := kept(t, dir, "unseen", func(r *record.Record) { r.Claims[0].Verdict, r.Claims[1].Verdict = "open", "stale" })
	code, out, _ = call(t, "compare", a, unseen)
	require.Equal(t, exitDone, code, "what nobody looked at is not worse")
	assert.Regexp(t, `Was seen right and is OPEN now: .+ \[order/aileron\]`, out)
	assert.Contains(t, out, "In all: nothing got worse. 2 claims seen right then are open or stale now.")
	code, out, _ = call(t, "compare", a, worse, "--json")
	require.Equal(t, exitWrong, code)
	var c compare.Comparison
	require.NoError(t, json.Unmarshal([]byte(out), &c))
	require.Len(t, c.Lost, 1)
	assert.Equal(t, "order/aileron", c.Lost[0].Claim)
}

// What can't be printed or compared gets a sentence and exit code 2.
func TestSentencesOfReports(t *testing.T) {
	dir := t.TempDir()
	good := kept(t, dir, "good", unchanged)
	other := kept(t, dir, "other", func(r *record.Record) { r.Model = "Another" })
	newer := filepath.Join(dir, "newer")
	silence(t, newer)
	require.NoError(t, os.WriteFile(filepath.Join(newer, "record.json"), []byte(`{"record":2}`), 0o600))
	empty := filepath.Join(dir, "empty")
	require.NoError(t, os.Mkdir(empty, 0o755))
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"report", empty}, "neither a recording nor a record"},
		{[]string{"report", dir + "/none"}, "neither a recording nor a record"},
		{[]string{"report", newer}, "a newer program wrote this record: its format is 2, this program reads 1; use the newer program"},
		{[]string{"report", good, "--json", "-o", "x"}, "want one of them"},
		{[]string{"report", good, "--since", other}, "two different models"},
		{[]string{"compare", good, other}, `two different models: ` + good + ` is of "Gullpost 900", ` + other + ` of "Another"`},
		{[]string{"compare", good, newer}, "a newer program wrote this record"},
		{[]string{"compare", good}, `compare wants the folders of two sessions, the earlier one first, got "`},
	} {
		code, out, talk := call(t, c.args...)
		assert.Equal(t, exitUsage, code, strings.Join(c.args, " "))
		assert.Empty(t, out)
		assert.Contains(t, talk, c.want)
	}
	kept, err := os.ReadFile(filepath.Join(newer, "record.json"))
	require.NoError(t, err)
	assert.Equal(t, `{"record":2}`, string(kept), "what a newer program wrote stays")
}

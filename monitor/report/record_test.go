package report_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/session"
)

// golden compares with a file, or rewrites it.
func golden(t testing.TB, path, got string) {
	t.Helper()
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "make it with: make golden")
	require.Equal(t, string(want), got, path)
}

func compiled(t testing.TB) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(record.Schema())))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("record.schema.json", doc))
	s, err := c.Compile("record.schema.json")
	require.NoError(t, err)
	return s
}

func valid(t testing.TB, s *jsonschema.Schema, data []byte) error {
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(string(data)))
	require.NoError(t, err)
	return s.Validate(v)
}

// smallSitting plays a sitting on a small sheet in which nothing is wrong.
func smallSitting(t testing.TB) (folder string, r *record.Record, data []byte) {
	t.Helper()
	return small(t, "small", &sittingPlan{wall: begun, seed: 3})
}

// faultySitting is one a day later in which much is wrong.
func faultySitting(t testing.TB) (folder string, r *record.Record, data []byte) {
	t.Helper()
	return small(t, "faulty", &sittingPlan{
		wall: begun + day, seed: 4, kind: "hold",
		setup: "fault lands inner front 1640\nfault offset aileron 6\nfault cut ignored\n",
	})
}

func small(t testing.TB, name string, b *sittingPlan) (folder string, r *record.Record, data []byte) {
	t.Helper()
	var err error
	b.brisk = true
	b.sheet, err = os.ReadFile("testdata/small.yaml")
	require.NoError(t, err)
	folder = whole(t, t.TempDir(), name, b)
	r, err = report.FromRecording(t.Context(), sessionOf(folder))
	require.NoError(t, err)
	data, err = r.Encode()
	require.NoError(t, err)
	return folder, r, data
}

func TestTheRecordOfASitting(t *testing.T) {
	folder, r, data := smallSitting(t)
	golden(t, "testdata/small.record.json", string(data))
	require.NoError(t, valid(t, compiled(t), data))

	again, err := report.FromRecording(t.Context(), sessionOf(folder))
	require.NoError(t, err)
	assert.Equal(t, r, again, "the same folder gives the same record")

	back, err := record.Decode(data)
	require.NoError(t, err)
	twice, err := back.Encode()
	require.NoError(t, err)
	assert.Equal(t, string(data), string(twice), "a record that was read is the record")
}

func TestTheSchemaRefuses(t *testing.T) {
	s := compiled(t)
	whole, err := os.ReadFile("testdata/small.record.json")
	require.NoError(t, err)
	require.NoError(t, valid(t, s, whole))
	for name, spoil := range map[string]func(map[string]any){
		"another format":    func(r map[string]any) { r["record"] = 2 },
		"no sheet":          func(r map[string]any) { delete(r, "sheet") },
		"no date":           func(r map[string]any) { r["begun"] = "yesterday" },
		"an odd verdict":    func(r map[string]any) { r["claims"].([]any)[0].(map[string]any)["verdict"] = "passed" },
		"a width as a text": func(r map[string]any) { r["length_ns"] = "12" },
	} {
		var r map[string]any
		require.NoError(t, json.Unmarshal(whole, &r))
		spoil(r)
		data, err := json.Marshal(r)
		require.NoError(t, err)
		assert.Error(t, valid(t, s, data), name)
	}
}

func TestWhatIsNoRecordIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		`{"record":2,"model":"M"}`: "a newer program wrote this record: its format is 2, this program reads 1; use the newer program",
		`{"model":"M"}`:            `got no format number under "record"`,
		`{"record":1,"model":7}`:   "cannot unmarshal",
		`[`:                        "read the record",
		`{"record":1,"traces":[{"id":"trace-1","from_ns":0,"to_ns":9000000000000000000}]}`: "trace-1: got 0 ns to " +
			"9000000000000000000 ns, want a stretch of at most 22000000000 ns",
	} {
		_, err := record.Decode([]byte(text))
		assert.ErrorContains(t, err, want)
	}
	_, err := record.Decode([]byte(`{"record":2}`))
	assert.ErrorIs(t, err, record.ErrNewer)
}

func TestFoldersWithoutASession(t *testing.T) {
	empty := t.TempDir()
	_, err := report.FromRecording(t.Context(), sessionOf(empty))
	require.ErrorIs(t, err, report.ErrNoSession)
	_, err = report.Load(t.Context(), empty)
	require.ErrorIs(t, err, report.ErrNoSession)
	require.NoError(t, os.WriteFile(filepath.Join(empty, record.RecordFile), []byte(`{"record":99}`), 0o600))
	_, err = report.Load(t.Context(), empty)
	require.ErrorIs(t, err, record.ErrNewer)
	require.ErrorContains(t, err, "record.json")
}

func TestARecordAloneWillDo(t *testing.T) {
	data, err := os.ReadFile("testdata/small.record.json")
	require.NoError(t, err)
	r, err := record.Decode(data)
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, r.Keep(filestest.Folder(t, dir)))
	back, err := report.Load(t.Context(), dir)
	require.NoError(t, err)
	assert.Equal(t, r, back)
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, list, 1, "nothing half-written is left")
}

// What a session gathers while it is heard, through drills and a loss, makes the record that
// judging it again makes; what it keeps is bounded.
func TestWhatASessionGathersMakesItsRecord(t *testing.T) {
	for _, sitting := range []func(testing.TB) (string, *record.Record, []byte){smallSitting, faultySitting} {
		folder, made, want := sitting(t)
		f := session.Folder(folder)
		s, err := f.ReadSheet()
		require.NoError(t, err)
		g := record.NewBoundedGathering(s)
		r, err := session.OpenReplay(f, s, func(e *event.Event, wall int64) { g.OnEvent(e, wall) })
		require.NoError(t, err)
		most, beats := 0, 0
		require.NoError(t, engine.Run(r.Source, r.Engine, func(in *event.Input) {
			g.Judged(in, r.Engine)
			if in.Kind != event.InputBeat {
				return
			}
			if beats++; beats%7 == 0 {
				state, err := g.Checkpoint()
				require.NoError(t, err)
				most = max(most, len(state))
				g, err = record.RestoreGathering(state, s)
				require.NoError(t, err)
			}
		}))
		again, err := g.Record(r.Engine, made.Sheet, r.Close())
		require.NoError(t, err)
		got, err := again.Encode()
		require.NoError(t, err)
		require.Equal(t, string(want), string(got))
		t.Logf("%d beats, %d traces, %d bytes in a checkpoint at most", beats, len(made.Traces), most)
		assert.Greater(t, beats, 60)
		assert.Less(t, most, 200_000)
	}
}

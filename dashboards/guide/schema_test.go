package guide_test

import (
	"bufio"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	reflected "github.com/invopop/jsonschema"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/guide"
	"benchproof.example/monitor/event"
)

// The schema of a timeline's line is made of the table of kinds.
func TestTheSchemaIsThatOfTheTable(t *testing.T) {
	made, err := json.MarshalIndent(lineSchema(t), "", " ")
	require.NoError(t, err)
	made = append(made, '\n')
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(guide.Schema, made, 0o600))
		return
	}
	assert.Equal(t, string(made), read(t, guide.Schema))
}

// What this program wrote, now and before, is what the schema says, and what it should
// refuse it refuses.
func TestTimelinesAreAsTheSchemaSays(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile(guide.Schema)
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, pattern := range []string{"byhand/*/timeline.jsonl", "corpus/*/timeline.jsonl", "corpus/*/replay.jsonl"} {
		files, err := filepath.Glob("../../testdata/" + pattern)
		require.NoError(t, err)
		require.NotEmpty(t, files, pattern)
		for _, file := range files {
			for _, line := range linesOf(t, file) {
				if kind, ok := line["kind"].(string); ok {
					seen[kind] = true
					assert.NoError(t, schema.Validate(line), file)
				}
			}
		}
	}
	for _, s := range event.Table() {
		for _, r := range s.Rows {
			if r.Kind != event.JudgementFailed { // a fault of ours: no recording has one
				assert.True(t, seen[r.Kind], "no line of kind %s was seen", r.Kind)
			}
		}
	}
	for _, wrong := range []string{
		`{"format":1,"seq":1,"t_ns":0,"from_ns":0,"at":"2026-01-02T03:04:05Z","kind":"mark","about":"session","data":{"text":7},"crc":"00000000"}`,
		`{"format":1,"seq":1,"t_ns":0,"from_ns":0,"at":"2026-01-02T03:04:05Z","kind":"bus.locked","about":"tap:main","data":{},"crc":"00000000"}`,
	} {
		var line any
		require.NoError(t, json.Unmarshal([]byte(wrong), &line))
		assert.Error(t, schema.Validate(line), wrong)
	}
}

func linesOf(t *testing.T, path string) (lines []map[string]any) {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<20)
	for sc.Scan() {
		var line map[string]any
		if json.Unmarshal(sc.Bytes(), &line) == nil { // a killed session has a torn line
			lines = append(lines, line)
		}
	}
	require.NoError(t, sc.Err())
	return lines
}

// lineSchema describes one line (JSON Schema, draft 2020-12): for each kind its data.
// Members may be added, kinds too: what is not known is not refused.
func lineSchema(t *testing.T) map[string]any {
	t.Helper()
	about := memberComments(t)
	r := &reflected.Reflector{
		AllowAdditionalProperties: true, ExpandedStruct: true, DoNotReference: true, Anonymous: true,
		LookupComment: func(of reflect.Type, name string) string { return about[of.Name()+"."+name] },
	}
	var kinds []map[string]any
	for _, s := range event.Table() {
		for _, row := range s.Rows {
			data := map[string]any{"type": "object"}
			if row.Data != nil {
				of := r.Reflect(row.Data)
				of.Version = ""
				raw, err := json.Marshal(of)
				require.NoError(t, err)
				require.NoError(t, json.Unmarshal(raw, &data))
			}
			kinds = append(kinds, map[string]any{
				"if":   map[string]any{"properties": map[string]any{"kind": map[string]any{"const": row.Kind}}},
				"then": map[string]any{"description": meaning(&row), "properties": map[string]any{"data": data}},
			})
		}
	}
	whole := map[string]any{"type": "integer"}
	return map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A line of timeline.jsonl",
		"type": "object", "required": []string{"format", "seq", "t_ns", "from_ns", "at", "kind", "about", "data"},
		"properties": map[string]any{
			"format": map[string]any{"const": 1}, "seq": whole, "t_ns": whole, "from_ns": whole,
			"at":   map[string]any{"type": "string", "format": "date-time"},
			"kind": map[string]any{"type": "string"}, "about": map[string]any{"type": "string"},
			"data": map[string]any{"type": "object"}, "crc": map[string]any{"type": "string"},
		},
		"allOf": kinds,
	}
}

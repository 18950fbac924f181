package monitor_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// byHand holds scenarios that were written byte by byte from the facts of the
// trade, by scripts that share nothing with this program (make.py there).
const byHand = "../testdata/byhand"

// scenario is one folder of them.
type scenario struct {
	name, folder string
	sheet        *sheet.Sheet

	Subjects []string      `json:"subjects"` // the watchers that it puts to the test
	Events   []expectation `json:"events"`
	Absent   []absence     `json:"absent"`
}

// expectation is one event that must come: events of a kind in this order, and
// no others of that kind. Spans are closed; times are bench time in ns.
type expectation struct {
	Rule    string                   `json:"rule"` // what it rests on
	Seq     int64                    `json:"seq"`  // 0: any
	Kind    string                   `json:"kind"`
	About   string                   `json:"about"`
	At      *[2]unit.Time            `json:"at"`
	From    *[2]unit.Time            `json:"from"`
	Data    map[string]any           `json:"data"`    // members; one that is left out in the event counts as false, "" or 0
	Between map[string]*[2]unit.Time `json:"between"` // members that are numbers; "a.0.b" is member b of the first in list a
}

// absence is what must not come, about anything if About is empty.
type absence struct {
	Kind  string `json:"kind"`
	About string `json:"about"`
}

func scenarios(t *testing.T) (list []*scenario) {
	entries, err := os.ReadDir(byHand)
	require.NoError(t, err)
	for _, e := range entries {
		if e.IsDir() {
			list = append(list, readScenario(t, e.Name()))
		}
	}
	require.NotEmpty(t, list)
	return list
}

func readScenario(t *testing.T, name string) *scenario {
	s := &scenario{name: name, folder: filepath.Join(byHand, name)}
	text, err := os.ReadFile(filepath.Join(s.folder, "expect.json"))
	require.NoError(t, err)
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	require.NoError(t, strict.Decode(s), name)
	require.NotEmpty(t, s.Subjects, name)
	require.NotEmpty(t, s.Events, name)
	path := filepath.Join(s.folder, "sheet.yaml")
	text, err = os.ReadFile(path)
	require.NoError(t, err)
	s.sheet, err = sheet.Read(path, text)
	require.NoError(t, err, name)
	return s
}

// replay judges the recording and gives its timeline; through says how the
// inputs reach the engine.
func (s *scenario) replay(t *testing.T, through func(*session.Replay, engine.EventFunc)) (lines []byte) {
	hear := func(e *event.Event, wall int64) {
		var err error
		lines, err = timeline.Line(lines, e, wall)
		require.NoError(t, err)
	}
	r, err := session.OpenReplay(session.Folder(s.folder), s.sheet, hear)
	require.NoError(t, err)
	through(r, hear)
	require.Empty(t, r.Close(), "what is wrong with the recording")
	return lines
}

func (s *scenario) whole(t *testing.T) []byte {
	return s.replay(t, func(r *session.Replay, _ engine.EventFunc) { require.NoError(t, engine.Run(r.Source, r.Engine, nil)) })
}

// One after the other: the mutants stop at the first that fails.
func TestByHand(t *testing.T) {
	for _, s := range scenarios(t) {
		t.Run(s.name, func(t *testing.T) { s.hold(t, entries(t, s.whole(t))) })
	}
}

func TestByHandInPiecesOfOneByte(t *testing.T) {
	for _, s := range scenarios(t) {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			pieces := s.replay(t, func(r *session.Replay, _ engine.EventFunc) {
				require.NoError(t, engine.Run(&session.Pieces{Of: r.Source, N: 1}, r.Engine, nil))
			})
			require.Equal(t, string(s.whole(t)), string(pieces))
		})
	}
}

// An engine that is replaced by its own checkpoint again and again judges alike.
func TestByHandFromCheckpoints(t *testing.T) {
	for _, s := range scenarios(t) {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			lines := s.replay(t, func(r *session.Replay, hear engine.EventFunc) { s.restoring(t, r, hear) })
			require.Equal(t, string(s.whole(t)), string(lines))
		})
	}
}

func (s *scenario) restoring(t *testing.T, r *session.Replay, hear engine.EventFunc) {
	every := 101 // inputs, and behind each that caused an event; behind all where seeds are many
	if len(seedsFrom(t, 0, 1)) > 1 {
		every = 1
	}
	judge, n, caused, in := r.Engine, 0, true, event.Input{}
	told := func(e *event.Event, wall int64) {
		caused = true
		hear(e, wall)
	}
	err := judge.StepFrom(r.Source, &in)
	for ; err == nil; err = judge.StepFrom(r.Source, &in) {
		if n++; n%every != 0 && !caused {
			continue
		}
		caused = false
		state, err := judge.Checkpoint()
		require.NoError(t, err)
		judge, err = engine.Restore(state, s.sheet, told)
		require.NoError(t, err)
	}
	require.ErrorIs(t, err, io.EOF)
	require.Positive(t, n)
}

// The timelines as they were when someone last read them. BENCHPROOF_REWRITE=1
// writes them anew.
func TestByHandTimelines(t *testing.T) {
	for _, s := range scenarios(t) {
		t.Run(s.name, func(t *testing.T) {
			path := filepath.Join(s.folder, "timeline.jsonl")
			lines := s.whole(t)
			if os.Getenv("BENCHPROOF_REWRITE") != "" {
				require.NoError(t, os.WriteFile(path, lines, 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(want), string(lines))
		})
	}
}

func TestEachWatcherIsSomeScenariosSubject(t *testing.T) {
	watchers := watcherTypes(t)
	tested := map[string]bool{}
	for _, s := range scenarios(t) {
		for _, subject := range s.Subjects {
			assert.Contains(t, watchers, subject, "%s: a subject that is no watcher", s.name)
			tested[subject] = true
		}
	}
	for _, w := range watchers {
		assert.True(t, tested[w], "watcher %s: no scenario in %s has it as its subject", w, byHand)
	}
}

// watcherTypes names the types of package watch that have a method See, and what
// leads through drills, and the account of a long run.
func watcherTypes(t *testing.T) (names []string) {
	files, err := filepath.Glob("watch/*/*.go")
	require.NoError(t, err)
	for _, path := range append(files, "drill/runner/runner.go", "account/account.go") {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil && f.Name.Name == "See" {
				names = append(names, receiver(f))
			}
		}
	}
	require.NotEmpty(t, names)
	return names
}

func receiver(f *ast.FuncDecl) string {
	of := f.Recv.List[0].Type
	if pointer, ok := of.(*ast.StarExpr); ok {
		of = pointer.X
	}
	return of.(*ast.Ident).Name
}

func entries(t *testing.T, lines []byte) (list []timeline.Entry) {
	for line := range bytes.Lines(lines) {
		e, err := timeline.Parse(bytes.TrimSuffix(line, []byte("\n")))
		require.NoError(t, err)
		list = append(list, e)
	}
	return list
}

// hold holds a timeline to what the scenario expects.
func (s *scenario) hold(t *testing.T, list []timeline.Entry) {
	inOrder(t, list)
	byKind := map[string][]timeline.Entry{}
	for _, e := range list {
		byKind[ofAKind(e.Kind, e.About)] = append(byKind[ofAKind(e.Kind, e.About)], e)
	}
	for _, a := range s.Absent {
		for _, e := range byKind[ofAKind(a.Kind, a.About)] {
			assert.False(t, a.About == "" || a.About == e.About, "unwanted: %s", shown(e))
		}
	}
	wanted := map[string]int{}
	for i := range s.Events {
		want := &s.Events[i]
		kind := ofAKind(want.Kind, want.About)
		n := wanted[kind]
		wanted[kind]++
		if n >= len(byKind[kind]) {
			assert.Fail(t, "missing: "+want.Kind, "%s about %s", want.Rule, want.About)
			continue
		}
		want.hold(t, byKind[kind][n])
	}
	for kind, n := range wanted {
		for _, e := range byKind[kind][min(n, len(byKind[kind])):] {
			assert.Fail(t, "one too many", shown(e))
		}
	}
}

// ofAKind has the verdicts about one claim as a kind of their own: a scenario that is
// about one of them leaves the others.
func ofAKind(kind, about string) string {
	if kind == event.VerdictChanged {
		return kind + " " + about
	}
	return kind
}

// inOrder holds what is true of every timeline.
func inOrder(t *testing.T, list []timeline.Entry) {
	require.NotEmpty(t, list)
	for i, e := range list {
		assert.LessOrEqual(t, e.From, e.At, "onset after the fact: %s", shown(e))
		if i > 0 {
			assert.Greater(t, e.Seq, list[i-1].Seq, "numbers go up: %s", shown(e))
			assert.GreaterOrEqual(t, e.At, list[i-1].At, "dates never decrease: %s", shown(e))
		}
	}
}

func (x *expectation) hold(t *testing.T, e timeline.Entry) {
	says := x.Rule + "\n" + shown(e)
	assert.Equal(t, x.About, e.About, says)
	if x.Seq != 0 {
		assert.Equal(t, x.Seq, e.Seq, says)
	}
	within(t, "at", x.At, e.At, says)
	within(t, "from", x.From, e.From, says)
	var data map[string]any
	require.NoError(t, json.Unmarshal(e.Data, &data))
	for member, want := range x.Data {
		assert.Equal(t, want, orZero(data[member], want), "%s: %s", member, says)
	}
	for member, want := range x.Between {
		got, ok := reach(data, member).(float64)
		assert.True(t, ok, "%s is no number: %s", member, says)
		within(t, member, want, unit.Time(got), says)
	}
}

// reach finds a member on a path such as a.0.b, nil for none.
func reach(of any, path string) any {
	member, rest, more := strings.Cut(path, ".")
	var got any
	switch of := of.(type) {
	case map[string]any:
		got = of[member]
	case []any:
		if i, err := strconv.Atoi(member); err == nil && i >= 0 && i < len(of) {
			got = of[i]
		}
	}
	if more {
		return reach(got, rest)
	}
	return got
}

func within(t *testing.T, what string, span *[2]unit.Time, got unit.Time, says string) {
	if span != nil && (got < span[0] || got > span[1]) {
		assert.Fail(t, fmt.Sprintf("%s: got %d, want %d to %d", what, got, span[0], span[1]), says)
	}
}

// orZero is what a member that was left out stands for.
func orZero(got, want any) any {
	if got != nil {
		return got
	}
	switch want.(type) {
	case bool:
		return false
	case string:
		return ""
	case float64:
		return 0.0
	}
	return nil
}

func shown(e timeline.Entry) string {
	return fmt.Sprintf("%d: %s about %s at %d from %d: %s", e.Seq, e.Kind, e.About, e.At, e.From, e.Data)
}

//go:build mutants

package monitor_test

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// nursery is a file of mutants: one source file and wrong turns that it might
// have taken.
type nursery struct {
	File    string   `json:"file"` // of the module
	Own     string   `json:"own"`  // the package whose own tests may kill what the scenarios let live; "": none
	Mutants []mutant `json:"mutants"`
}

// mutant replaces a piece of the file that stands there exactly once.
type mutant struct {
	Why string `json:"why"` // what is then wrong
	Old string `json:"old"`
	New string `json:"new"`
}

// Every mutant must be killed: the scenarios by hand, or the package's own
// tests, fail with it. The tree stays as it is; the compiler is given the mutant
// as an overlay.
func TestEveryMutantIsKilled(t *testing.T) {
	root, err := filepath.Abs("..")
	require.NoError(t, err)
	files, err := filepath.Glob("testdata/mutants/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		n := readNursery(t, path)
		source := filepath.Join(root, n.File)
		text, err := os.ReadFile(source)
		require.NoError(t, err)
		n.survivesUnchanged(t, root)
		for i, m := range n.Mutants {
			t.Run(strings.TrimSuffix(filepath.Base(path), ".json")+"/"+strconv.Itoa(i+1), func(t *testing.T) {
				require.Equal(t, 1, bytes.Count(text, []byte(m.Old)), "how often %s has %q (%s)", n.File, m.Old, m.Why)
				require.NotEqual(t, m.Old, m.New)
				t.Parallel()
				changed := bytes.Replace(text, []byte(m.Old), []byte(m.New), 1)
				n.kill(t, root, overlay(t, source, changed), m)
			})
		}
	}
}

func readNursery(t *testing.T, path string) (n nursery) {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	require.NoError(t, strict.Decode(&n), path)
	require.GreaterOrEqual(t, len(n.Mutants), 2, path)
	return n
}

// Two mutants at least for each file of watchers.
func TestEachWatcherHasMutants(t *testing.T) {
	files, err := filepath.Glob("testdata/mutants/*.json")
	require.NoError(t, err)
	has := map[string]bool{}
	for _, path := range files {
		has[readNursery(t, path).File] = true
	}
	sources, err := filepath.Glob("watch/*.go")
	require.NoError(t, err)
	for _, path := range sources {
		if !strings.HasSuffix(path, "_test.go") {
			assert.True(t, has["monitor/"+filepath.ToSlash(path)], "no mutants of %s", path)
		}
	}
}

// tests are the runs that may kill, the scenarios first.
func (n *nursery) tests() [][]string {
	runs := [][]string{{"-run", "^TestByHand$", "./monitor"}}
	if n.Own != "" {
		runs = append(runs, []string{n.Own})
	}
	return runs
}

func (n *nursery) survivesUnchanged(t *testing.T, root string) {
	for _, args := range n.tests() {
		out, err := goTest(t, root, args...)
		require.NoError(t, err, "%s: tests fail without a mutant: %s", n.File, out)
	}
}

func (n *nursery) kill(t *testing.T, root, overlay string, m mutant) {
	for _, args := range n.tests() {
		out, err := goTest(t, root, append([]string{"-overlay", overlay}, args...)...)
		require.NotContains(t, out, "[build failed]", "%s: does not compile: %s", n.File, m.Why)
		require.NotContains(t, out, "[setup failed]", m.Why)
		require.NotContains(t, out, "test timed out", "a slow machine kills no mutant: %s", m.Why)
		if err != nil {
			require.Contains(t, out, "FAIL", m.Why)
			return
		}
	}
	assert.Fail(t, "a mutant lives", "%s: %s\nold: %s\nnew: %s", n.File, m.Why, m.Old, m.New)
}

// overlay is a file that tells the go command to read changed for source.
func overlay(t *testing.T, source string, changed []byte) string {
	folder := t.TempDir()
	instead := filepath.Join(folder, filepath.Base(source))
	require.NoError(t, os.WriteFile(instead, changed, 0o600))
	text, err := json.Marshal(map[string]map[string]string{"Replace": {source: instead}})
	require.NoError(t, err)
	path := filepath.Join(folder, "overlay.json")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return path
}

// goTest runs go test and stops what never ends.
func goTest(t *testing.T, root string, args ...string) (string, error) {
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "go", append([]string{"test", "-vet=off", "-failfast", "-timeout=90s"}, args...)...)
	cmd.Dir = root
	out, err := cmd.CombinedOutput()
	return string(out), err
}

package monitor_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// leastMutants is how many each file of watchers and claims has at least.
const leastMutants = 3

// mutantFile is a file of mutants: one source file and wrong turns that it might
// have taken.
type mutantFile struct {
	name    string
	File    string    `json:"file"`  // of the module
	Tests   []testSet `json:"tests"` // that may kill its mutants
	Mutants []mutant  `json:"mutants"`
}

// testSet is a choice of a package's tests, quick ones.
type testSet struct {
	Package string `json:"package"` // such as ./monitor/watch
	Run     string `json:"run"`     // as in go test -run
}

// mutant replaces a piece of the file that stands there exactly once.
type mutant struct {
	Why string `json:"why"` // what is then wrong
	By  string `json:"by"`  // the package of the tests that must kill it; "": the first of the file's
	Old string `json:"old"`
	New string `json:"new"`
}

func mutantFiles(t *testing.T) (list []*mutantFile) {
	files, err := filepath.Glob("../testdata/mutants/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		n := &mutantFile{name: strings.TrimSuffix(filepath.Base(path), ".json")}
		strict := json.NewDecoder(bytes.NewReader(text))
		strict.DisallowUnknownFields()
		require.NoError(t, strict.Decode(n), path)
		require.NotEmpty(t, n.Tests, path)
		require.NotEmpty(t, n.Mutants, path)
		list = append(list, n)
	}
	return list
}

// A mutant whose text is no longer in its source, or there twice, tries nothing: what
// renames a source renames its mutants.
func TestEveryMutantFitsItsSource(t *testing.T) {
	for _, n := range mutantFiles(t) {
		source, err := os.ReadFile(filepath.Join("..", n.File))
		require.NoError(t, err, n.name)
		named := strings.ReplaceAll(strings.TrimSuffix(strings.TrimPrefix(n.File, "monitor/"), ".go"), "/", "-")
		assert.Equal(t, named, n.name, "a file of mutants is named after its source")
		for _, m := range n.Mutants {
			assert.Equal(t, 1, bytes.Count(source, []byte(m.Old)), "how often %s has %q (%s)", n.File, m.Old, m.Why)
			assert.NotEqual(t, m.Old, m.New, "%s: %s", n.File, m.Why)
			assert.True(t, m.By == "" || slices.ContainsFunc(n.Tests, func(s testSet) bool { return s.Package == m.By }),
				"%s: got by %q (%s), want the package of one of the tests", n.name, m.By, m.Why)
		}
		for _, tests := range n.Tests {
			assert.DirExists(t, filepath.Join("..", tests.Package), n.name)
		}
	}
}

// No file of watchers or claims goes without, but one that holds sentences alone.
func TestEachWatcherAndClaimHasMutants(t *testing.T) {
	has := map[string]int{}
	for _, n := range mutantFiles(t) {
		has[n.File] += len(n.Mutants)
	}
	for _, pattern := range []string{"watch/*.go", "watch/*/*.go", "claim/*.go"} {
		sources, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, path := range sources {
			if !strings.HasSuffix(path, "_test.go") && !strings.HasSuffix(path, "_text.go") {
				assert.GreaterOrEqual(t, has["monitor/"+filepath.ToSlash(path)], leastMutants, "mutants of %s", path)
			}
		}
	}
}

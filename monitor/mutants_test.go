//go:build mutants

package monitor_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// leastMutants is how many each file of watchers and claims has at least.
const leastMutants = 3

// nursery is a file of mutants: one source file and wrong turns that it might
// have taken.
type nursery struct {
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
	By  string `json:"by"`  // the package of the tests that must kill it; "": the first of the nursery's
	Old string `json:"old"`
	New string `json:"new"`
}

// Every mutant must be killed: the tests that its nursery names fail with it. The
// tree stays as it is. Each mutant is built once, with the one test binary that is
// to kill it, and as many at a time as there are processors.
func TestEveryMutantIsKilled(t *testing.T) {
	root, err := filepath.Abs("..")
	require.NoError(t, err)
	lab := newLab(root)
	for _, n := range nurseries(t) {
		source := filepath.Join(root, n.File)
		text, err := os.ReadFile(source)
		require.NoError(t, err)
		for i, m := range n.Mutants {
			t.Run(n.name+"/"+strconv.Itoa(i+1), func(t *testing.T) {
				t.Parallel()
				require.Equal(t, 1, bytes.Count(text, []byte(m.Old)), "how often %s has %q (%s)", n.File, m.Old, m.Why)
				require.NotEqual(t, m.Old, m.New)
				tests := n.killers(t, m)
				lab.pass(t, tests)
				changed := bytes.Replace(text, []byte(m.Old), []byte(m.New), 1)
				out, killed := lab.run(t, tests, lab.build(t, tests.Package, source, changed))
				assert.True(t, killed, "a mutant lives in %s: %s\nold: %s\nnew: %s\n%s of %s: %s",
					n.File, m.Why, m.Old, m.New, tests.Run, tests.Package, out)
			})
		}
	}
}

func nurseries(t *testing.T) (list []*nursery) {
	files, err := filepath.Glob("../testdata/mutants/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		n := &nursery{name: strings.TrimSuffix(filepath.Base(path), ".json")}
		strict := json.NewDecoder(bytes.NewReader(text))
		strict.DisallowUnknownFields()
		require.NoError(t, strict.Decode(n), path)
		require.NotEmpty(t, n.Tests, path)
		require.NotEmpty(t, n.Mutants, path)
		list = append(list, n)
	}
	return list
}

// killers are the tests that must kill a mutant.
func (n *nursery) killers(t *testing.T, m mutant) testSet {
	for _, s := range n.Tests {
		if m.By == "" || m.By == s.Package {
			return s
		}
	}
	require.Fail(t, "by whom?", "%s: got by %q (%s), want the package of one of the tests", n.name, m.By, m.Why)
	return testSet{}
}

// No file of watchers or claims goes without.
func TestEachWatcherAndClaimHasMutants(t *testing.T) {
	has := map[string]int{}
	for _, n := range nurseries(t) {
		has[n.File] += len(n.Mutants)
	}
	for _, pattern := range []string{"watch/*.go", "watch/*/*.go", "claim/*.go"} {
		sources, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, path := range sources {
			if !strings.HasSuffix(path, "_test.go") {
				assert.GreaterOrEqual(t, has["monitor/"+filepath.ToSlash(path)], leastMutants, "mutants of %s", path)
			}
		}
	}
}

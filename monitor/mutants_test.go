//go:build mutants

package monitor_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every mutant must be killed: the tests that its file names fail with it. The
// tree stays as it is. Each mutant is built once, with the one test binary that is
// to kill it, and as many at a time as there are processors.
func TestEveryMutantIsKilled(t *testing.T) {
	root, err := filepath.Abs("..")
	require.NoError(t, err)
	lab := newLab(root)
	for _, n := range mutantFiles(t) {
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

// killers are the tests that must kill a mutant.
func (n *mutantFile) killers(t *testing.T, m mutant) testSet {
	for _, s := range n.Tests {
		if m.By == "" || m.By == s.Package {
			return s
		}
	}
	require.Fail(t, "by whom?", "%s: got by %q (%s), want the package of one of the tests", n.name, m.By, m.Why)
	return testSet{}
}

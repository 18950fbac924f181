//go:build mutants

package days_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plantedDays is within how many days each planted fault must be found.
const plantedDays = 1000

var foundBy = regexp.MustCompile(`found by seed (\d+) .*: (.*)`)

// Each fault that is planted is found, and by which day is said.
func TestEachPlantedMutantIsFound(t *testing.T) {
	here, err := filepath.Abs(root)
	require.NoError(t, err)
	for _, p := range readPlanted(t) {
		t.Run(p.Why, func(t *testing.T) {
			out := playWith(t, here, &p)
			found := foundBy.FindStringSubmatch(out)
			require.NotNil(t, found, "no day finds it: %s", out)
			t.Logf("found by day %s: %s", found[1], found[2])
			seed, err := strconv.Atoi(found[1])
			require.NoError(t, err)
			assert.Less(t, seed, plantedDays)
		})
	}
}

// playWith plays days with a fault planted, until one fails.
func playWith(t *testing.T, here string, p *planted) string {
	dir := t.TempDir()
	instead := map[string]string{}
	for i, e := range p.Edits {
		source := filepath.Join(here, e.File)
		text, err := os.ReadFile(source)
		require.NoError(t, err)
		instead[source] = filepath.Join(dir, strconv.Itoa(i)+".go")
		require.NoError(t, os.WriteFile(instead[source], []byte(strings.Replace(string(text), e.Old, e.New, 1)), 0o600))
	}
	overlay, err := json.Marshal(map[string]any{"Replace": instead})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "overlay.json"), overlay, 0o600))
	run := exec.CommandContext(t.Context(), "go", "test", "-vet=off", "-count=1", "-timeout", "30m", "-overlay", filepath.Join(dir, "overlay.json"),
		"-run", "^TestUntilADayFails$", ".")
	run.Env = append(os.Environ(), countVariable+"="+strconv.Itoa(plantedDays), fromVariable+"=0")
	out, err := run.CombinedOutput()
	require.NotContains(t, string(out), "build failed", "%s", out)
	require.Error(t, err, "%s", out)
	return string(out)
}

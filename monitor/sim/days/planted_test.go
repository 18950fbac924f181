package days_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planted is a fault that the daemon does not have, and that the days must find.
type planted struct {
	Why   string `json:"why"` // what is then wrong
	Edits []struct {
		File string `json:"file"` // of the module
		Old  string `json:"old"`
		New  string `json:"new"`
	} `json:"edits"`
}

func readPlanted(t *testing.T) (list []planted) {
	text, err := os.ReadFile("testdata/planted.json")
	require.NoError(t, err)
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	require.NoError(t, strict.Decode(&list))
	return list
}

// root is that of the module.
const root = "../../.."

// A fault whose text is no longer in its source, or there twice, tries nothing.
func TestEachPlantedFaultFitsItsSource(t *testing.T) {
	list := readPlanted(t)
	require.GreaterOrEqual(t, len(list), 10)
	for _, p := range list {
		for _, e := range p.Edits {
			source, err := os.ReadFile(filepath.Join(root, e.File))
			require.NoError(t, err, p.Why)
			assert.Equal(t, 1, bytes.Count(source, []byte(e.Old)), "how often %s has %q (%s)", e.File, e.Old, p.Why)
			assert.NotEqual(t, e.Old, e.New, p.Why)
		}
	}
}

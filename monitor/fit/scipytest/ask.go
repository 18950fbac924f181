// Package scipytest lets tests ask what SciPy and statsmodels, as Debian has them, make of the
// same figures.
package scipytest

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// python is Debian's own; another one on the path may not have its packages.
const python = "/usr/bin/python3"

// Ask runs a script in Python that finds the JSON of what is asked in the variable asked, and
// reads the JSON of what it leaves in the variable answer. The script fails the test if it
// fails.
func Ask(t *testing.T, script string, asked, answer any) {
	t.Helper()
	text, err := json.Marshal(asked)
	require.NoError(t, err)
	cmd := exec.Command(python, "-c", "import json, sys\nasked = json.load(sys.stdin)\n"+script+"\njson.dump(answer, sys.stdout)")
	cmd.Stdin = bytes.NewReader(text)
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	require.NoError(t, err, "%s (Debian's python3-scipy and python3-statsmodels are needed)", complaint.String())
	require.NoError(t, json.Unmarshal(out, answer), "%s", out)
}

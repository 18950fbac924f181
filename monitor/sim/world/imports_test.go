package world_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The bench must know nothing of what listens to it.
func TestImportsDecodeOnly(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		list := exec.Command("go", "list", "-deps", "-f", "{{if not .Standard}}{{.ImportPath}}{{end}}", ".")
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := list.Output()
		require.NoError(t, err, system)
		paths := strings.Fields(string(out))
		require.Contains(t, paths, "benchproof.example/decode/protocols", "the list is a real one")
		for _, path := range paths {
			allowed := path == "benchproof.example/monitor/sim/world" || path == "github.com/creack/pty" ||
				strings.HasPrefix(path, "benchproof.example/decode/")
			assert.True(t, allowed, "%s: %s", system, path)
		}
	}
}

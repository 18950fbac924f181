package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Stdout and stderr are named where the program begins and nowhere else, so that all that
// is printed goes through the printer.
func TestOnlyThePrinterPrints(t *testing.T) {
	past := regexp.MustCompile(`os\.Std(out|err)|fmt\.Print|\bprintln?\(|log\.(Print|Fatal|Default|SetOutput)`)
	seen := 0
	for _, dir := range []string{".", "../../monitor", "../../decode", "../../dashboards"} {
		require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
			require.NoError(t, err)
			if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			source, err := os.ReadFile(path)
			require.NoError(t, err)
			if found := past.FindString(string(source)); found != "" && !mayPrint(path) {
				assert.Fail(t, "prints past the printer", "%s: %s", path, found)
			}
			seen++
			return nil
		}))
	}
	assert.Greater(t, seen, 100)
}

// mayPrint reports a file that is a program's own beginning.
func mayPrint(path string) bool {
	own := path == "main.go" || path == "stop.go"
	return own || strings.Contains(path, "kernelrig") || strings.HasPrefix(path, filepath.Join("..", "..", "dashboards", "grafana"))
}

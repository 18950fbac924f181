package monitor_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/go/packages"
)

// Programs and tests have no fault of types on systems that this one is not: other files are compiled there, or an int
// has another size. To look costs a tenth of what it costs to build there (make cross).
func TestTypesOnOtherSystems(t *testing.T) {
	for _, system := range []string{"linux/arm", "windows/amd64", "darwin/arm64"} {
		t.Run(system, func(t *testing.T) {
			goos, goarch, _ := strings.Cut(system, "/")
			found, err := packages.Load(&packages.Config{
				Mode: packages.LoadAllSyntax, Tests: true, Context: t.Context(),
				Env: append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0"),
			}, "benchproof.example/cmd/...", "benchproof.example/decode/...", "benchproof.example/monitor/...")
			require.NoError(t, err)
			require.Greater(t, len(found), 100)
			packages.Visit(found, nil, func(p *packages.Package) {
				for _, e := range p.Errors {
					assert.NoError(t, e, p.ID)
				}
			})
		})
	}
}

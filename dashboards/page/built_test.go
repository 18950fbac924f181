package page_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// built is what the sources give: each file of built, by its name.
func built(t *testing.T) map[string][]byte {
	options := api.BuildOptions{
		Bundle: true, MinifySyntax: true, MinifyWhitespace: true, MinifyIdentifiers: true, Target: api.ES2022, Charset: api.CharsetUTF8,
		Format: api.FormatESModule, LegalComments: api.LegalCommentsInline, Outdir: "built", LogLevel: api.LogLevelSilent,
		EntryPointsAdvanced: []api.EntryPoint{{InputPath: "src/main.ts", OutputPath: "app"}, {InputPath: "src/app.css", OutputPath: "app"}},
		Alias:               map[string]string{"lit-html": "./vendor/lit-html/lit-html.js"},
		Loader:              map[string]api.Loader{".svg": api.LoaderText},
	}
	result := api.Build(options)
	require.Empty(t, result.Errors)
	require.Empty(t, result.Warnings)
	files := map[string][]byte{}
	for _, f := range result.OutputFiles {
		files[filepath.Base(f.Path)] = f.Contents
	}
	for _, name := range []string{"index.html", "icon.svg"} {
		text, err := os.ReadFile(filepath.Join("src", name))
		require.NoError(t, err)
		files[name] = text
	}
	return files
}

// What travels with the program is what its sources give.
func TestWhatIsBuiltIsOfTheSources(t *testing.T) {
	want := built(t)
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.RemoveAll("built"))
		require.NoError(t, os.Mkdir("built", 0o755))
		for name, text := range want {
			require.NoError(t, os.WriteFile(filepath.Join("built", name), text, 0o644))
		}
	}
	list, err := os.ReadDir("built")
	require.NoError(t, err)
	assert.Len(t, list, len(want))
	for name, text := range want {
		got, err := os.ReadFile(filepath.Join("built", name))
		require.NoError(t, err, "run make page")
		assert.True(t, string(text) == string(got), "%s is not what its sources give: run make page", name)
	}
}

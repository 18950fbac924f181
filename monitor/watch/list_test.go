package watch_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/watch"
	"benchproof.example/monitor/watch/base"
)

// A watcher that the list lacks sees nothing; one that is there twice reports everything
// twice. The sheet has something for each of them.
func TestEachWatcherIsInTheListOnce(t *testing.T) {
	s, err := sheet.Read("starter", append(sheet.Starter(), "\nmark_button: {channel: teach, when: pressed}\n"...))
	require.NoError(t, err)
	view := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}, {Name: "phone", Kind: "tilt"}})
	listed, same := map[string]bool{}, map[string]int{}
	for _, w := range watch.For(&view) {
		_, name, _ := strings.Cut(fmt.Sprintf("%T", w.Watcher), ".")
		listed[name] = true
		same[fmt.Sprintf("%s %+v", name, w.Watcher)]++
	}
	listening, err := sheet.Read("listening", sheet.ForListening([]sheet.Tap{{Name: "main", Kind: "bus"}}))
	require.NoError(t, err)
	view = base.NewView(listening, []event.TapName{{Name: "main", Kind: "bus"}})
	for _, w := range watch.For(&view) {
		_, name, _ := strings.Cut(fmt.Sprintf("%T", w.Watcher), ".")
		listed[name] = true
	}
	for w, n := range same {
		assert.Equal(t, 1, n, w)
	}
	paths, err := filepath.Glob("*/*.go")
	require.NoError(t, err)
	for _, path := range paths {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil && f.Name.Name == "See" {
				name := f.Recv.List[0].Type.(*ast.StarExpr).X.(*ast.Ident).Name
				assert.True(t, listed[name], "%s: watch.For has no %s", path, name)
			}
		}
	}
}

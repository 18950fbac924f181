package monitor_test

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed is a package as the go command lists it.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
}

// listPackages lists our packages that know bench time, and what they import, compiled.
func listPackages(t *testing.T) (list []listed) {
	out, err := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles", module+"monitor/...", module+"cmd/...").Output()
	require.NoError(t, err)
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		err := d.Decode(&p)
		if err == io.EOF {
			return list
		}
		require.NoError(t, err)
		list = append(list, p)
	}
}

// instantArithmetic finds where a file calculates with instants as if they were plain
// numbers. The compiler refuses an instant for a duration, but not the sum of two instants.
func instantArithmetic(fset *token.FileSet, file *ast.File, info *types.Info) (list []string) {
	isInstant := func(e ast.Expr) bool { return types.TypeString(info.TypeOf(e), nil) == module+"monitor/unit.Time" }
	ast.Inspect(file, func(n ast.Node) bool {
		found := false
		switch n := n.(type) {
		case *ast.BinaryExpr:
			switch n.Op {
			case token.ADD, token.SUB, token.MUL, token.QUO, token.REM:
				found = info.Types[n].Value == nil && (isInstant(n.X) || isInstant(n.Y))
			}
		case *ast.AssignStmt:
			found = n.Tok != token.ASSIGN && n.Tok != token.DEFINE && isInstant(n.Lhs[0])
		case *ast.IncDecStmt:
			found = isInstant(n.X)
		}
		if found {
			list = append(list, fmt.Sprintf("%s: calculates with an instant: Add, Sub and Truncate do that", fset.Position(n.Pos())))
		}
		return true
	})
	return list
}

func TestInstantsAreNoNumbers(t *testing.T) {
	exports := map[string]string{}
	list := listPackages(t)
	for _, p := range list {
		exports[p.ImportPath] = p.Export
	}
	fset := token.NewFileSet()
	compiled := importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	check := func(path string, files ...*ast.File) (found []string) {
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
		_, err := (&types.Config{Importer: compiled, FakeImportC: true}).Check(path, fset, files, info)
		require.NoError(t, err)
		for _, f := range files {
			found = append(found, instantArithmetic(fset, f, info)...)
		}
		return found
	}
	checked := 0
	for _, p := range list {
		if ours := strings.HasPrefix(p.ImportPath, module+"monitor/") || strings.HasPrefix(p.ImportPath, module+"cmd/"); !ours ||
			p.ImportPath == module+"monitor/unit" {
			continue
		}
		var files []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			files = append(files, f)
		}
		assert.Empty(t, check(p.ImportPath, files...))
		checked++
	}
	assert.Greater(t, checked, 20, "the list is a real one")

	const wrong = `package wrong
import "benchproof.example/monitor/unit"
func f(a, b unit.Time) unit.Time { a += b; a++; a -= 5; return a + b }
func g(a, b unit.Time) bool { return a%1000 == 0 || a-b > 5 || a == b+1 }
func h(a, b unit.Time, d unit.Duration) unit.Time { return max(a, b).Add(2*d - b.Sub(a)) }`
	f, err := parser.ParseFile(fset, "wrong.go", wrong, parser.SkipObjectResolution)
	require.NoError(t, err)
	assert.Len(t, check("wrong", f), 7)
}

package claim_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// makers are the functions called new... that make something that has a method see, by
// what they make: the judges.
func makers(t *testing.T) map[string][]string {
	t.Helper()
	paths, err := filepath.Glob("*.go")
	require.NoError(t, err)
	judges, made := []string{}, map[string][]string{}
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file := parsed(t, path)
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			switch {
			case ok && f.Recv != nil && f.Name.Name == "see":
				judges = append(judges, f.Recv.List[0].Type.(*ast.StarExpr).X.(*ast.Ident).Name)
			case ok && f.Recv == nil && strings.HasPrefix(f.Name.Name, "new"):
				for _, name := range literals(f) {
					made[name] = append(made[name], f.Name.Name)
				}
			}
		}
	}
	require.NotEmpty(t, judges)
	list := map[string][]string{}
	for _, name := range judges {
		if list[name] = made[name]; name == "perTap" { // has one of another judge for each tap
			delete(list, name)
		}
	}
	return list
}

func parsed(t *testing.T, path string) *ast.File {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	return file
}

// literals are the types of the structs that are made in a function.
func literals(f *ast.FuncDecl) (names []string) {
	ast.Inspect(f, func(n ast.Node) bool {
		if l, ok := n.(*ast.CompositeLit); ok {
			if name, ok := l.Type.(*ast.Ident); ok {
				names = append(names, name.Name)
			}
		}
		return true
	})
	return names
}

// A judge that is not made judges nothing, and no other test would miss it.
func TestEachJudgeIsInTheList(t *testing.T) {
	calls := map[string]int{}
	ast.Inspect(parsed(t, "list.go"), func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok {
			if name, ok := call.Fun.(*ast.Ident); ok {
				calls[name.Name]++
			}
		}
		return true
	})
	for name, by := range makers(t) {
		assert.True(t, slices.ContainsFunc(by, func(f string) bool { return calls[f] == 1 }), "the judge %s: list.go calls one of %v once", name, by)
	}
}

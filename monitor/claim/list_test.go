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

// functions are those of the package, without its tests.
func functions(t *testing.T) (list []*ast.FuncDecl) {
	t.Helper()
	paths, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		for _, d := range parsed(t, path).Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				list = append(list, f)
			}
		}
	}
	return list
}

// makers are the functions called new... that make something that has a method see, by
// what they make: the judges.
func makers(t *testing.T) map[string][]string {
	t.Helper()
	made, list := map[string][]string{}, map[string][]string{}
	all := functions(t)
	for _, f := range all {
		if f.Recv == nil && strings.HasPrefix(f.Name.Name, "new") {
			for _, name := range literals(f) {
				made[name] = append(made[name], f.Name.Name)
			}
		}
	}
	for _, f := range all {
		if f.Recv != nil && f.Name.Name == "see" {
			name := f.Recv.List[0].Type.(*ast.StarExpr).X.(*ast.Ident).Name
			list[name] = made[name]
		}
	}
	delete(list, "perTap") // has one of another judge for each tap
	require.NotEmpty(t, list)
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

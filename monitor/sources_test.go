package monitor_test

import (
	"encoding/json"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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

// listPackages lists our packages, and what they import, compiled.
func listPackages(t *testing.T) (list []listed) {
	out, err := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles", module+"...").Output()
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

// sourceRule finds what a file of ours must not do, a sentence for each place.
type sourceRule func(fset *token.FileSet, file *ast.File, info *types.Info) []string

// sources are our packages, for rules that the compiler does not know.
type sources struct {
	t        *testing.T
	fset     *token.FileSet
	list     []listed
	compiled types.Importer
}

func newSources(t *testing.T) *sources {
	s := &sources{t: t, fset: token.NewFileSet(), list: listPackages(t)}
	exports := map[string]string{}
	for _, p := range s.list {
		exports[p.ImportPath] = p.Export
	}
	s.compiled = importer.ForCompiler(s.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	return s
}

// check is what a rule finds in the files of one package.
func (s *sources) check(rule sourceRule, path string, files ...*ast.File) (found []string) {
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	_, err := (&types.Config{Importer: s.compiled, FakeImportC: true}).Check(path, s.fset, files, info)
	require.NoError(s.t, err)
	for _, f := range files {
		found = append(found, rule(s.fset, f, info)...)
	}
	return found
}

func (s *sources) parse(name string, text any) *ast.File {
	f, err := parser.ParseFile(s.fset, name, text, parser.SkipObjectResolution)
	require.NoError(s.t, err)
	return f
}

// hold holds our packages below some folders to a rule.
func (s *sources) hold(rule sourceRule, below ...string) {
	checked := 0
	for _, p := range s.list {
		if !slices.ContainsFunc(below, func(folder string) bool { return strings.HasPrefix(p.ImportPath, module+folder) }) {
			continue
		}
		var files []*ast.File
		for _, name := range p.GoFiles {
			files = append(files, s.parse(filepath.Join(p.Dir, name), nil))
		}
		assert.Empty(s.t, s.check(rule, p.ImportPath, files...))
		checked++
	}
	assert.Greater(s.t, checked, 10, "the list is a real one")
}

package monitor_test

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// opening are the functions of package os that open, make, move or remove what a path
// names, whatever lies there. Package files is the way to do that.
var opening = map[string]bool{
	"Create": true, "CreateTemp": true, "Link": true, "Mkdir": true, "MkdirAll": true, "MkdirTemp": true, "Open": true, "OpenFile": true,
	"ReadFile": true, "Remove": true, "RemoveAll": true, "Rename": true, "Symlink": true, "Truncate": true, "WriteFile": true,
}

// opensItself are the places that may do so all the same, and why.
var opensItself = map[string]string{
	"/monitor/files/":                 "it is the way",
	"/monitor/port/":                  "what the kernel says of devices and processes, and the rig",
	"/monitor/api/socket/socket.go":   "a socket is no file",
	"/monitor/api/socket/sockettest/": "a folder with room for a socket, for tests",
	"/cmd/benchproof/new_folder.go":   "a folder that nobody has yet",
	"/monitor/sim/world/pty.go":       "links to pseudo-terminals, in a folder of its own",
	"/monitor/session/fingerprint.go": "this very program",
	"/cmd/benchproof/demo.go":         "a folder of its own that goes with the demo",
}

func openedByPath(fset *token.FileSet, file *ast.File, info *types.Info) (list []string) {
	name := filepath.ToSlash(fset.Position(file.Pos()).Filename)
	for place := range opensItself {
		if strings.Contains(name, place) {
			return nil
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		call, ok := n.(*ast.SelectorExpr)
		if !ok || !opening[call.Sel.Name] {
			return true
		}
		if f, ok := info.Uses[call.Sel].(*types.Func); ok && f.Pkg() != nil && f.Pkg().Path() == "os" && f.Signature().Recv() == nil {
			list = append(list, fmt.Sprintf("%s: os.%s: go through package files", fset.Position(n.Pos()), call.Sel.Name))
		}
		return true
	})
	return list
}

func TestFilesAreOpenedByPackageFiles(t *testing.T) {
	s := newSources(t)
	s.hold(openedByPath, "monitor/", "cmd/", "decode/")
	assert.Len(t, s.check(openedByPath, "wrong", s.parse("wrong.go", `package wrong
import "os"
var text, err = os.ReadFile("x")
func f(r *os.Root) (*os.File, error) { return r.Open("x") }
func g() error { return os.Rename("a", "b") }`)), 2, "and no method")
}

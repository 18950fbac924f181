package monitor_test

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"testing"

	"github.com/stretchr/testify/assert"
)

// instantArithmetic finds where a file calculates with instants as if they were plain
// numbers. The compiler refuses an instant for a duration, but not the sum of two instants.
func instantArithmetic(fset *token.FileSet, file *ast.File, info *types.Info) (list []string) {
	isInstant := func(e ast.Expr) bool { return types.TypeString(info.TypeOf(e), nil) == module+"monitor/unit.Time" }
	if file.Name.Name == "unit" { // it says what one may do
		return nil
	}
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
	s := newSources(t)
	s.hold(instantArithmetic, "monitor/", "cmd/")
	assert.Len(t, s.check(instantArithmetic, "wrong", s.parse("wrong.go", `package wrong
import "benchproof.example/monitor/unit"
func f(a, b unit.Time) unit.Time { a += b; a++; a -= 5; return a + b }
func g(a, b unit.Time) bool { return a%1000 == 0 || a-b > 5 || a == b+1 }
func h(a, b unit.Time, d unit.Duration) unit.Time { return max(a, b).Add(2*d - b.Sub(a)) }`)), 7)
}

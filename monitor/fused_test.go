package monitor_test

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"testing"

	"github.com/stretchr/testify/assert"
)

// unroundedProducts finds products of floats that a machine may fuse with a sum. The
// language allows that, so that the last bit of a sum depends on the processor; a
// conversion, float64(a*b), rounds the product and forbids it.
func unroundedProducts(fset *token.FileSet, file *ast.File, info *types.Info) (list []string) {
	var way []ast.Node // from the file to the node
	ast.Inspect(file, func(n ast.Node) bool {
		if n == nil {
			way = way[:len(way)-1]
			return true
		}
		way = append(way, n)
		if e, ok := n.(*ast.BinaryExpr); ok && e.Op == token.MUL && isFloat(info, e) && maySum(way) {
			list = append(list, fmt.Sprintf("%s: write float64(a*b), so that every processor rounds it", fset.Position(n.Pos())))
		}
		return true
	})
	return list
}

// isFloat reports whether an expression is a float that is reckoned when the program runs.
func isFloat(info *types.Info, e ast.Expr) bool {
	basic, ok := info.TypeOf(e).Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsFloat != 0 && info.Types[e].Value == nil
}

// maySum reports whether what stands at the end of the way goes into a sum, or into a
// variable or result that may go into one.
func maySum(way []ast.Node) bool {
	i := len(way) - 2
	for ; i >= 0; i-- {
		if _, paren := way[i].(*ast.ParenExpr); paren {
			continue
		}
		if sign, ok := way[i].(*ast.UnaryExpr); !ok || sign.Op != token.SUB {
			break
		}
	}
	switch outer := way[i].(type) {
	case *ast.BinaryExpr:
		return outer.Op == token.ADD || outer.Op == token.SUB
	case *ast.AssignStmt, *ast.ReturnStmt, *ast.ValueSpec, *ast.KeyValueExpr, *ast.CompositeLit:
		return true
	}
	return false
}

func TestProductsOfFloatsAreRounded(t *testing.T) {
	s := newSources(t)
	s.hold(unroundedProducts, "monitor/", "decode/")
	assert.Len(t, s.check(unroundedProducts, "wrong", s.parse("wrong.go", `package wrong
func f(a, b, c float64) float64 { c += a * b; d := -(a * b); return c - d + a*b }
func g(a, b float64) float64 { return a * b }
func h(a, b, c float64) float64 { return float64(a*b) + c + a*b/c + 2*3 }
func i(a, b int) int { return a*b + a }`)), 4)
}

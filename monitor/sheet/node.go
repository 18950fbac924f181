package sheet

import (
	"fmt"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// shape says what a node is.
type shape uint8

const (
	refused shape = iota // reported already: an alias, a tag and so on
	nothing              // a key without a value
	word                 // text
	number               // plain text that YAML takes for a number
	truth                // true or false
	list
	table
)

// node is one value of the text with its place. Text keeps a scalar as it is
// written, without its quotes, for a number is read by our rules, not YAML's.
type node struct {
	line, column int
	shape        shape
	text         string
	quoted       bool
	row          *Key    // of the key that it stands behind; of a name or number of the builder's, the row "*"
	key          string  // that key, as the sheet has it; "": it is a key itself
	assumed      bool    // the default of its row: nobody wrote it
	items        []*node // of a list
	entries      []entry // of a table, in the order of the text
}

// entry is one key of a table and its value.
type entry struct{ key, value *node }

// follow ties key and value to the row of their key.
func (e entry) follow(row *Key) { e.key.row, e.value.row, e.value.key = row, row, e.key.text }

// found says what stands where, as after "found".
func (n *node) found() string { return n.describe() + n.where() }

func (n *node) where() string {
	if n.key == "" {
		return ""
	}
	return " for " + n.key
}

// describe says what a node is, as after "found".
func (n *node) describe() string {
	switch n.shape {
	case nothing:
		return "nothing"
	case truth:
		return "the truth value " + n.text
	case list:
		return "a list"
	case table:
		return "a set of keys"
	case number:
		return "the number " + n.text
	}
	return quote(n.text)
}

// convert turns a YAML node into ours and reports what a sheet may not use.
func (r *reader) convert(from ast.Node, depth int) *node {
	n := &node{line: 1, column: 1}
	if t := from.GetToken(); t != nil {
		n.line, n.column = t.Position.Line, t.Position.Column
	}
	if depth > maxDepth {
		r.refuse(n, "levels set in too deep", fmt.Sprintf("at most %d levels", maxDepth))
		return n
	}
	switch from := from.(type) {
	case *ast.MappingNode:
		r.convertTable(n, from, depth)
	case *ast.SequenceNode:
		n.shape = list
		for _, item := range from.Values {
			n.items = append(n.items, r.convert(item, depth+1))
		}
	default:
		r.convertScalar(n, from)
	}
	return n
}

// convertTable reads the keys of a table. The YAML reader places a table
// without braces at its first colon; a person looks for its first key.
func (r *reader) convertTable(n *node, from *ast.MappingNode, depth int) {
	n.shape = table
	if len(from.Values) > 0 && !from.IsFlowStyle {
		first := from.Values[0].Key.GetToken().Position
		n.line, n.column = first.Line, first.Column
	}
	seen := map[string]*node{}
	for _, pair := range from.Values {
		key := r.convert(pair.Key, depth+1)
		value := r.convert(pair.Value, depth+1)
		if key.shape == refused {
			continue
		}
		if first, again := seen[key.text]; again {
			r.refuse(key, fmt.Sprintf("the key %s a second time (first in line %d)", quote(key.text), first.line), "one of the two")
		} else {
			seen[key.text] = key
		}
		n.entries = append(n.entries, entry{key, value})
	}
}

func (r *reader) convertScalar(n *node, from ast.Node) {
	switch from := from.(type) {
	case *ast.StringNode:
		n.shape, n.text = word, from.Value
		n.quoted = from.Token.Type == token.SingleQuoteType || from.Token.Type == token.DoubleQuoteType
	case *ast.IntegerNode, *ast.FloatNode:
		n.shape, n.text = number, from.GetToken().Value
	case *ast.InfinityNode, *ast.NanNode:
		n.shape, n.text = word, from.GetToken().Value
	case *ast.BoolNode:
		n.shape, n.text = truth, from.GetToken().Value
	case *ast.NullNode:
		n.shape, n.text = nothing, from.GetToken().Value
	default:
		r.refuse(n, special(from), "the value itself, written on one line")
	}
}

// special names the parts of YAML that a sheet may not use: they hide what a
// value is from the person who reads the sheet at the bench.
func special(from ast.Node) string {
	switch from.(type) {
	case *ast.AnchorNode:
		return "a YAML anchor (&)"
	case *ast.AliasNode:
		return "a YAML alias (*)"
	case *ast.TagNode:
		return "a YAML tag (!)"
	case *ast.MergeKeyNode:
		return "a YAML merge key (<<)"
	case *ast.MappingKeyNode:
		return "a YAML complex key (?)"
	case *ast.LiteralNode:
		return "a text block (| or >)"
	}
	return "YAML that a sheet has no use for"
}

package sheet

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// A sheet has a few kilobytes and a handful of levels. The bounds keep a
// strange file from tying up the YAML reader, whose work grows with the depth.
const (
	maxBytes = 128 << 10
	maxDepth = 16
)

// document turns text into the one table that a sheet is. It returns nil when
// the text is no such thing, which it has then reported.
func (r *reader) document(text []byte) *node {
	source := strings.TrimPrefix(string(text), "\uFEFF")
	if !r.plainText(source) {
		return nil
	}
	file := r.parse(source)
	if file == nil {
		return nil
	}
	body := r.single(file)
	if body == nil {
		return nil
	}
	root := r.convert(body, 0)
	if root.shape != table {
		r.refuse(root, root.describe(), "a set of keys that begins with "+r.begins())
		return nil
	}
	return root
}

// begins is how a file of this sort begins.
func (r *reader) begins() string {
	if r.ofPapers {
		return "papers: 1"
	}
	return "sheet: 1"
}

// plainText refuses what no text editor writes.
func (r *reader) plainText(source string) bool {
	begin := "a file that begins with " + r.begins()
	if !r.ofPapers {
		begin = `a sheet that begins with sheet: 1 ("benchproof sheet new" writes one)`
	}
	if strings.TrimSpace(source) == "" {
		r.refuseAt(1, 1, "an empty file", begin)
		return false
	}
	if len(source) > maxBytes {
		r.refuseAt(1, 1, fmt.Sprintf("%d bytes of text", len(source)), "a sheet of a few kilobytes")
		return false
	}
	line, column := 1, 1
	for at, c := range source {
		if c == utf8.RuneError && !strings.HasPrefix(source[at:], "\uFFFD") {
			r.refuseAt(line, column, fmt.Sprintf("the byte 0x%02X, which is not UTF-8 text", source[at]), "a file saved as UTF-8")
			return false
		}
		if c == '\t' { // the YAML reader drops some of them without a word
			r.refuseAt(line, column, "a tab", "spaces, here and in the rest of the file,")
			return false
		}
		if unicode.IsControl(c) && c != '\n' && c != '\r' {
			r.refuseAt(line, column, fmt.Sprintf("the control character U+%04X", c), "plain text")
			return false
		}
		column++
		if c == '\n' {
			line, column = line+1, 1
		}
	}
	return true
}

// shallow refuses brackets and dashes nested deeper than any sheet's.
func (r *reader) shallow(tokens token.Tokens) bool {
	brackets, markers, line := 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			markers, line = 0, t.Position.Line
		}
		switch t.Type {
		case token.MappingStartType, token.SequenceStartType:
			brackets++
		case token.MappingEndType, token.SequenceEndType:
			brackets--
		case token.SequenceEntryType, token.MappingKeyType, token.AnchorType, token.TagType:
			markers++
		}
		if brackets+markers > maxDepth {
			r.refuseAt(line, t.Position.Column, fmt.Sprintf("more than %d brackets or dashes inside each other", maxDepth), "fewer levels")
			return false
		}
	}
	return true
}

// parse runs the YAML reader. It is not ours: should it panic over a strange
// text, then the text is refused like any other that it cannot read.
func (r *reader) parse(source string) (file *ast.File) {
	const want = "YAML as in the starter sheet: each key with a colon and a space, levels set in by spaces, brackets and quotes closed"
	defer func() {
		if recover() != nil {
			r.refuseAt(1, 1, "text that cannot be read as YAML", want)
			file = nil
		}
	}()
	tokens := lexer.Tokenize(source)
	if !r.shallow(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err == nil {
		return file
	}
	r.refuseSyntax(err, want)
	return nil
}

func (r *reader) refuseSyntax(err error, want string) {
	line, column, message := 1, 1, "the reader gave up"
	if syntax := yaml.Error(nil); errors.As(err, &syntax) {
		message = syntax.GetMessage()
		if t := syntax.GetToken(); t != nil {
			line, column = max(1, t.Position.Line), max(1, t.Position.Column)
		}
	}
	r.refuseAt(line, column, fmt.Sprintf("text that cannot be read as YAML (%s)", strings.Join(strings.Fields(message), " ")), want)
}

// single is the body of the one document; nil after a report.
func (r *reader) single(file *ast.File) ast.Node {
	var body ast.Node
	for i, doc := range file.Docs {
		if directive, ok := doc.Body.(*ast.DirectiveNode); ok {
			at := directive.GetToken().Position
			r.refuseAt(at.Line, at.Column, "a YAML directive (%)", "a sheet without one")
			return nil
		}
		if i > 0 {
			at := documentPlace(doc)
			r.refuseAt(at.Line, at.Column, "a second document", "one sheet in a file")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		r.refuseAt(1, 1, "comments only", "a sheet that begins with "+r.begins())
	}
	return body
}

func documentPlace(doc *ast.DocumentNode) *token.Position {
	if doc.Start != nil {
		return doc.Start.Position
	}
	if doc.Body != nil && doc.Body.GetToken() != nil {
		return doc.Body.GetToken().Position
	}
	return &token.Position{Line: 1, Column: 1}
}

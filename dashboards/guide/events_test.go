package guide_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
)

// The page of events is written by hand up to its first chapter. The chapters are made of
// the table of kinds and of the comments of their data; BENCHPROOF_REWRITE writes them.
const chapter = "\n## "

func TestEventsAreThoseOfTheTable(t *testing.T) {
	page := topic(t, "events")
	written, _, found := strings.Cut(page, chapter)
	require.True(t, found)
	made := written + kindsText(t)
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile("events.md", []byte(made), 0o600))
		return
	}
	assert.Equal(t, made, page)
}

// A kind that a watcher could report without a row would have no sentence.
func TestEveryKindHasItsRow(t *testing.T) {
	kind := regexp.MustCompile(`^"([a-z]+\.[a-z]+|mark|reopened)"$`)
	rows := map[string]bool{}
	for _, s := range event.Table() {
		for _, r := range s.Rows {
			assert.False(t, rows[r.Kind], "%s: two rows", r.Kind)
			rows[r.Kind] = true
		}
	}
	for _, file := range parsed(t) {
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok {
				return true
			}
			for i, v := range spec.Values {
				lit, ok := v.(*ast.BasicLit)
				if ok && kind.MatchString(lit.Value) && !strings.HasPrefix(spec.Names[i].Name, "Input") {
					assert.True(t, rows[strings.Trim(lit.Value, `"`)], "%s has no row", spec.Names[i].Name)
				}
			}
			return true
		})
	}
}

// kindsText is the made part of the page.
func kindsText(t *testing.T) string {
	t.Helper()
	about := memberComments(t)
	shown := map[reflect.Type]string{}
	var b strings.Builder
	for _, s := range event.Table() {
		fmt.Fprintf(&b, "\n## %s\n", s.Title)
		for _, r := range s.Rows {
			fmt.Fprintf(&b, "\n### `%s`\n\n%s\n", r.Kind, wrapped(meaning(&r)))
			if r.Data != nil {
				b.WriteString(dataText(reflect.TypeOf(r.Data), r.Kind, about, shown))
			}
		}
	}
	return b.String()
}

func meaning(r *event.Row) string {
	s := fmt.Sprintf("%s About `%s`.", r.Meaning, r.About)
	if r.OffScreen {
		s += " Not on the screen."
	}
	return s
}

func wrapped(s string) string { return text.Wrap(s, 92, "") }

// dataText explains the members of a kind's data, those of another kind by its name.
func dataText(data reflect.Type, kind string, about map[string]string, shown map[reflect.Type]string) string {
	if as, ok := shown[data]; ok {
		return fmt.Sprintf("\nData: as `%s`.\n", as)
	}
	shown[data] = kind
	var inner []reflect.StructField
	s := "\n" + wrapped("Data: "+membersText(data, about, &inner)+".") + "\n"
	for i := 0; i < len(inner); i++ {
		s += "\n" + wrapped(fmt.Sprintf("Each of `%s`: %s.", member(inner[i]), membersText(element(inner[i].Type), about, &inner))) + "\n"
	}
	return s
}

// membersText lists the members of a struct; inner gets those that hold structs.
func membersText(of reflect.Type, about map[string]string, inner *[]reflect.StructField) string {
	var parts []string
	for i := range of.NumField() {
		f := of.Field(i)
		if f.Anonymous {
			parts = append(parts, membersText(f.Type, about, inner))
			continue
		}
		part := "`" + member(f) + "`"
		if comment := about[of.Name()+"."+f.Name]; comment != "" {
			part += " (" + comment + ")"
		}
		parts = append(parts, part)
		if element(f.Type).Kind() == reflect.Struct {
			*inner = append(*inner, f)
		}
	}
	return strings.Join(parts, ", ")
}

func member(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}

func element(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// parsed are the sources of package event.
func parsed(t *testing.T) (files []*ast.File) {
	t.Helper()
	names, err := filepath.Glob(monitor + "event/*.go")
	require.NoError(t, err)
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		files = append(files, file)
	}
	return files
}

// memberComments are the comments of all members, by "Struct.Member", as they stand in a
// sentence.
func memberComments(t *testing.T) map[string]string {
	t.Helper()
	about := map[string]string{}
	for _, file := range parsed(t) {
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.TypeSpec)
			if !ok {
				return true
			}
			st, ok := spec.Type.(*ast.StructType)
			if !ok {
				return true
			}
			for _, f := range st.Fields.List {
				for _, name := range f.Names {
					about[spec.Name.Name+"."+name.Name] = commentOf(name.Name, f)
				}
			}
			return true
		})
	}
	return about
}

func commentOf(name string, f *ast.Field) string {
	s := f.Comment.Text()
	if s == "" {
		s = f.Doc.Text()
	}
	s = strings.Join(strings.Fields(s), " ")
	for _, verb := range []string{" is ", " says that ", " are "} {
		s = strings.TrimPrefix(s, name+verb)
	}
	return strings.TrimSuffix(s, ".")
}

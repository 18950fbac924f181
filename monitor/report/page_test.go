package report_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
)

func printed(t testing.TB, r *record.Record, since *compare.Comparison, o page.Options) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, page.Write(&out, r, since, o))
	return out.String()
}

// keptSitting is the record of a sitting in which nothing is wrong, with a receiver that
// has its presets. It is played once.
var keptSitting = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "benchproof-kept-")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	b := &sittingPlan{wall: begun, seed: 3, kind: "preset"}
	if err := b.whole(); err != nil {
		return nil, err
	}
	folder, err := b.record(filepath.Join(dir, "kept"))
	if err != nil {
		return nil, err
	}
	r, err := report.FromRecording(context.Background(), sessionOf(folder))
	if err != nil {
		return nil, err
	}
	return r.Encode()
})

// kept is a copy of that record.
func kept(t testing.TB) *record.Record {
	t.Helper()
	data, err := keptSitting()
	require.NoError(t, err)
	r, err := record.Decode(data)
	require.NoError(t, err)
	return r
}

// section is one section of a page, from its tag to its end.
func section(t testing.TB, text, name string) string {
	t.Helper()
	_, rest, found := strings.Cut(text, `aria-labelledby="`+name+`"`)
	require.True(t, found, "the page has no section %s", name)
	body, _, found := strings.Cut(rest, "</section>")
	require.True(t, found)
	_, body, _ = strings.Cut(body, ">")
	return strings.TrimSpace(body) + "\n"
}

// bodySections are those before the appendix, appendix those in it.
var (
	bodySections = []string{"first", "wrong", "open", "unseen", "failsafe", "changed", "field", "cautions"}
	appendix     = []string{"modes", "verdicts", "losses", "drills", "link", "outputs", "timeline", "sheet"}
)

// tracesShown is how many claims have a trace beside them in goldens: one is drawn as the
// other.
const tracesShown = 3

// Each section of a report on a small sheet, as somebody last read it. In the sitting a day
// later much is wrong: a switch that misses its window, a neutral that went, a cut that
// does nothing, a receiver that holds.
func TestTheSectionsOfAReport(t *testing.T) {
	_, before, _ := smallSitting(t)
	_, r, data := faultySitting(t)
	require.NoError(t, valid(t, compiled(t), data))
	since, err := compare.Compare("sessions/reedwing-1400/2026-05-02-110000", before, "here", r)
	require.NoError(t, err)
	golden(t, "testdata/plain/first.html", section(t, printed(t, before, nil, page.Options{}), "first"))
	few := *r
	few.Claims = slices.Clone(r.Claims)
	for i := range few.Claims {
		if i >= tracesShown {
			few.Claims[i].Trace = ""
		}
	}
	text := printed(t, &few, since, page.Options{})
	for _, name := range append(slices.Clone(bodySections), appendix...) {
		golden(t, "testdata/faulty/"+name+".html", section(t, text, name))
	}
}

// A whole page, with and without its appendix, is well-formed, needs nothing else, and has
// the sections it is to have.
func TestTheWholePage(t *testing.T) {
	since, err := compare.Compare("then", kept(t), "now", worst(t))
	require.NoError(t, err)
	for name, text := range map[string]string{
		"all well":               printed(t, kept(t), nil, page.Options{}),
		"all wrong":              printed(t, worst(t), since, page.Options{}),
		"all wrong, no appendix": printed(t, worst(t), since, page.Options{Short: true}),
	} {
		t.Run(name, func(t *testing.T) {
			selfContained(t, text)
			short := strings.HasSuffix(name, "no appendix")
			for _, name := range bodySections {
				section(t, text, name)
			}
			for _, name := range appendix {
				assert.Equal(t, !short, strings.Contains(text, `aria-labelledby="`+name+`"`), name)
			}
			assert.Contains(t, text, "never a clearance to fly")
		})
	}
}

// On paper claims have no IDs; they stand in the attributes of what is printed. What is open
// is listed once outside the appendix.
func TestThePrintNamesNoClaimByID(t *testing.T) {
	since, err := compare.Compare("then", kept(t), "now", worst(t))
	require.NoError(t, err)
	for _, r := range []*record.Record{kept(t), worst(t)} {
		text := printed(t, r, since, page.Options{})
		words := strings.FieldsFunc(textOf(t, text), func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(".,;:()", r) })
		for _, c := range r.Claims {
			if strings.Contains(c.ID, "/output:") {
				assert.NotContains(t, textOf(t, text), c.ID)
			} else {
				assert.NotContains(t, words, c.ID)
			}
			assert.Contains(t, text, `title="`+c.ID+`"`)
			if c.Verdict == string(claim.VerdictOpen) {
				assert.Equal(t, 1, strings.Count(section(t, text, "open"), `title="`+c.ID+`"`), c.ID)
			}
		}
	}
}

// textOf is what a reader sees of a page.
func textOf(t testing.TB, page string) string {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var text strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Data == "head" {
			return
		}
		if n.Type == html.TextNode {
			text.WriteString(n.Data + " ")
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
	return text.String()
}

// void elements have no end tag (HTML Living Standard, 13.1.2).
var void = map[string]bool{"meta": true, "br": true}

// selfContained holds a page to being one file: balanced, its IDs are unique and referred
// to, and it asks for nothing from elsewhere and runs nothing.
func selfContained(t *testing.T, text string) {
	t.Helper()
	ids, refs := map[string]bool{}, []string{}
	var open []string
	z := html.NewTokenizer(strings.NewReader(text))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			break
		}
		tok := z.Token()
		switch kind {
		case html.StartTagToken:
			if !void[tok.Data] {
				open = append(open, tok.Data)
			}
		case html.EndTagToken:
			require.NotEmpty(t, open, "</%s> without a beginning", tok.Data)
			require.Equal(t, open[len(open)-1], tok.Data)
			open = open[:len(open)-1]
		}
		require.NotContains(t, []string{"script", "link", "img", "iframe", "object", "embed", "base", "form"}, tok.Data)
		for _, a := range tok.Attr {
			require.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
			require.NotContains(t, []string{"src", "srcset", "action", "data"}, a.Key)
			switch {
			case a.Key == "id":
				require.False(t, ids[a.Val], "the ID %s stands there twice", a.Val)
				ids[a.Val] = true
			case a.Key == "href":
				refs = append(refs, a.Val)
			case strings.Contains(a.Val, "url("):
				refs = append(refs, strings.TrimSuffix(strings.TrimPrefix(a.Val, "url("), ")"))
			case a.Key == "aria-labelledby":
				refs = append(refs, "#"+a.Val)
			}
		}
	}
	assert.Empty(t, open)
	require.NotEmpty(t, refs)
	for _, ref := range refs {
		require.True(t, strings.HasPrefix(ref, "#"), "%s leads outside", ref)
		assert.True(t, ids[ref[1:]], "%s leads nowhere", ref)
	}
	css := text[strings.Index(text, "<style>"):strings.Index(text, "</style>")]
	assert.NotContains(t, css, "url(")
	assert.NotContains(t, css, "@import")
	assert.NotContains(t, text, "ZgotmplZ", "nothing was taken for dangerous")
	assert.NotContains(t, text, "http")
}

// What a builder or a sheet says is text, whatever it looks like.
func TestWordsOfOthersStayWords(t *testing.T) {
	r := kept(t)
	r.Model = `<script>alert(1)</script>`
	r.Sheet = strings.Replace(r.Sheet, "model: Gullpost 900", `model: "<script>alert(1)</script>"`, 1)
	r.Marks = []record.Mark{{AtNS: 1, Text: `"><img src=x onerror=y>`}, {AtNS: 2, Text: "<b>up</b>", Struck: &record.Strike{AtNS: 3, Why: "<script>"}}}
	text := printed(t, r, nil, page.Options{})
	assert.NotContains(t, text, "<script")
	assert.NotContains(t, text, "<img")
	assert.Contains(t, text, "&lt;script&gt;")
	assert.Contains(t, text, "<s>&lt;b&gt;up&lt;/b&gt;</s> (struck at ")
}

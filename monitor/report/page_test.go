package report_test

import (
	"bytes"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
)

func printed(t testing.TB, r *record.Record, since *compare.Comparison) string {
	var out bytes.Buffer
	require.NoError(t, page.Write(&out, r, since))
	return out.String()
}

var remade sync.Once

// kept is the record of a sitting as it is kept, made anew where goldens are.
func kept(t testing.TB) *record.Record {
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		remade.Do(func() { sitting(t) })
	}
	data, err := os.ReadFile("testdata/sitting.record.json")
	require.NoError(t, err)
	r, err := record.Decode(data)
	require.NoError(t, err)
	return r
}

func TestTheReportOfASitting(t *testing.T) {
	golden(t, "testdata/sitting.report.html", printed(t, kept(t), nil))
}

// A day later much is wrong: a switch that misses its window, a neutral that went,
// a cut that does nothing, a receiver that holds; and something was changed.
func TestTheReportOfASittingWithFaults(t *testing.T) {
	b := &sittingPlan{wall: begun + day, seed: 4, setup: "fault lands inner front 1640\nfault offset elevator 6\nfault cut ignored\n", kind: "hold"}
	folder := whole(t, t.TempDir(), "later", b)
	r, err := report.FromRecording(sessionOf(folder))
	require.NoError(t, err)
	data, err := r.Encode()
	require.NoError(t, err)
	golden(t, "testdata/faulty.record.json", string(data))
	require.NoError(t, valid(t, compiled(t), data))
	since, err := compare.Compare("sessions/reedwing-1400/2026-05-02-110000", kept(t), "here", r)
	require.NoError(t, err)
	page := printed(t, r, since)
	golden(t, "testdata/faulty.report.html", page)
	assert.Contains(t, page, `<span class="wrong">SEEN WRONG</span>`)
	assert.Contains(t, page, "Moved: neutral/elevator: ")
	selfContained(t, page)
}

// void elements have no end tag (HTML Living Standard, 13.1.2).
var void = map[string]bool{"meta": true, "br": true}

// The page is one file: balanced, its IDs are unique and referred to, and it
// asks for nothing from elsewhere and runs nothing.
func TestThePageNeedsNothingElse(t *testing.T) {
	selfContained(t, printed(t, kept(t), nil))
}

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
	r.Marks = []record.Mark{{AtNS: 1, Text: `"><img src=x onerror=y>`}}
	text := printed(t, r, nil)
	assert.NotContains(t, text, "<script")
	assert.NotContains(t, text, "<img")
	assert.Contains(t, text, "&lt;script&gt;")
}

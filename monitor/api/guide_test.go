package api_test

import (
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"benchproof.example/dashboards/guide"
)

// elements are those of a page with a name.
func elements(t *testing.T, page, name string) (list []*html.Node) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && n.Data == name {
			list = append(list, n)
		}
	}
	return list
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func TestTheGuideIsServed(t *testing.T) {
	r := start(t, nil)
	index := r.get(t, "/guide")
	require.Equal(t, 200, index.code)
	for _, topic := range guide.Topics() {
		assert.Contains(t, index.body, `<a href="/guide/`+topic.Name+`">`)
		page := r.get(t, "/guide/"+topic.Name)
		require.Equal(t, 200, page.code, topic.Name)
		assert.Equal(t, "text/html; charset=utf-8", page.header.Get("Content-Type"))
		require.Len(t, elements(t, page.body, "h1"), 1, topic.Name)
		assert.Equal(t, topic.Title, elements(t, page.body, "h1")[0].FirstChild.Data)
		assert.NotContains(t, page.body, "\n| ", "%s: a table that was not read as one", topic.Name)
		assert.NotContains(t, page.body, "raw HTML omitted", topic.Name)
		assert.Equal(t, page.body, r.get(t, "/guide/"+topic.Name+".md").body, "as the files link")
	}
}

// Every link and picture of the pages leads somewhere on this server.
func TestLinksOfTheGuideLead(t *testing.T) {
	r := start(t, nil)
	pictures := 0
	for _, topic := range guide.Topics() {
		page := r.get(t, "/guide/"+topic.Name).body
		for _, a := range elements(t, page, "a") {
			to := attribute(a, "href")
			if !strings.HasPrefix(to, "/") {
				to = "/guide/" + to
			}
			assert.Equal(t, 200, r.get(t, to).code, "%s links to %s", topic.Name, to)
		}
		for _, img := range elements(t, page, "img") {
			pictures++
			got := r.get(t, "/guide/"+attribute(img, "src"))
			assert.Equal(t, 200, got.code)
			assert.Equal(t, "image/svg+xml", got.header.Get("Content-Type"))
			assert.NotEmpty(t, attribute(img, "alt"))
		}
	}
	assert.Positive(t, pictures)
}

// What a browser is told of a page: its own style, our pictures, nothing else.
func TestTheGuideIsStrict(t *testing.T) {
	r := start(t, nil)
	page := r.get(t, "/guide/wiring")
	policy := page.header.Get("Content-Security-Policy")
	style := sha256.Sum256([]byte(elements(t, page.body, "style")[0].FirstChild.Data))
	assert.Contains(t, policy, "default-src 'none'")
	assert.Contains(t, policy, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(style[:])+"'")
	assert.Empty(t, elements(t, page.body, "script"))
	assert.Equal(t, "nosniff", page.header.Get("X-Content-Type-Options"))

	for _, path := range []string{"/guide/moon", "/guide/moon.svg", "/guide/guide.go", "/guide/wiring.svg.md"} {
		got := r.get(t, path)
		assert.Equal(t, 404, got.code, path)
		assert.Contains(t, sentence(t, got), "/guide lists what it has")
	}
	assert.Equal(t, 421, r.ask(t, "GET", "/guide/wiring", "", "Host: evil.example").code)
	assert.Equal(t, 403, r.ask(t, "GET", "/guide", "", "Origin: http://evil.example").code)
	assert.Equal(t, 405, r.ask(t, "POST", "/guide", "", bearer).code)
}

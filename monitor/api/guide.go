package api

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"benchproof.example/dashboards/guide"
)

// The guide as pages: /guide lists its topics, /guide/NAME shows one, and
// /guide/NAME.svg a picture, /guide/timeline.schema.json the schema. A topic's links to others name their files, NAME.md, so
// that they lead somewhere in the source tree too; here .md is passed over.

const guideStyle = `:root{color-scheme:light dark}
body{background:light-dark(#fff,#161616);color:light-dark(#111,#eee)}
body{max-width:46em;margin:2em auto;padding:0 1em;font:1em/1.5 sans-serif;overflow-wrap:anywhere}
code,pre{font-family:monospace,monospace;font-size:.9em}pre code{font-size:1em}pre{overflow-x:auto;background:light-dark(#f4f4f4,#2a2a2a);padding:.6em}
.wide{overflow-x:auto}table{border-collapse:collapse;overflow-wrap:normal}
th,td{border:1px solid light-dark(#ccc,#555);padding:.25em .6em;text-align:left;vertical-align:top}
img{max-width:100%;height:auto;background:#fff}`

// reachable lets a keyboard scroll what is wider than a phone.
var reachable = strings.NewReplacer(
	"<pre>", `<pre tabindex="0">`,
	"<table>", `<div class="wide" tabindex="0"><table>`,
	"</table>", "</table></div>",
)

var guidePage = template.Must(template.New("guide").Parse(`<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>benchproof: {{.Title}}</title>
<link rel="icon" href="/page/icon.svg">
<style>{{.Style}}</style>
{{if .Text}}<nav><p><a href="/guide">The guide</a></p></nav>
<main>
{{.Text}}
</main>
{{- else}}<main>
<h1>{{.Title}}</h1>
<ul>
{{- range .Topics}}
<li><a href="/guide/{{.Name}}">{{.Name}}</a>: {{.Title}}</li>
{{- end}}
</ul>
<p><a href="/api">What else is served</a></p>
</main>
{{end}}`))

// guidePolicy lets a page have its own style and our own pictures, and nothing else.
var guidePolicy = func() string {
	sum := sha256.Sum256([]byte(guideStyle))
	return "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; img-src 'self'; style-src 'sha256-" +
		base64.StdEncoding.EncodeToString(sum[:]) + "'"
}()

var markdown = goldmark.New(goldmark.WithExtensions(extension.Table))

// guideFiles are the types of files that are sent as they are, by their extension.
var guideFiles = map[string]string{".svg": "image/svg+xml", ".json": "application/schema+json"}

func guideTopics(w http.ResponseWriter, _ *http.Request) {
	sendGuide(w, "the guide", "")
}

func guideTopic(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("page")
	if kind, ok := guideFiles[path.Ext(name)]; ok {
		if file, err := fs.ReadFile(guide.Files, name); err == nil {
			w.Header().Set("Content-Type", kind)
			_, _ = w.Write(file)
			return
		}
	}
	topic, ok := guide.Find(strings.TrimSuffix(name, ".md"))
	if !ok {
		refuse(w, http.StatusNotFound, fmt.Sprintf("the guide has no %s: /guide lists what it has", shorten(name)))
		return
	}
	var text strings.Builder
	if err := markdown.Convert([]byte(topic.Text), &text); err != nil {
		refuse(w, http.StatusInternalServerError, "the page can't be made: "+err.Error())
		return
	}
	sendGuide(w, topic.Title, template.HTML(reachable.Replace(text.String()))) // our own text, and no HTML in it is let through
}

func sendGuide(w http.ResponseWriter, title string, text template.HTML) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", guidePolicy)
	_ = guidePage.Execute(w, map[string]any{
		"Title": title, "Style": template.CSS(guideStyle), "Text": text, "Topics": guide.Topics(),
	})
}

// Package guide is the guide that travels with the program: Markdown files, one a
// topic, the pictures that they show, and the JSON Schema of a timeline's line.
package guide

import (
	"embed"
	"strings"
)

// Files holds a file NAME.md for each topic, pictures as NAME.svg, and the Schema.
//
//go:embed *.md *.svg timeline.schema.json
var Files embed.FS

// Schema names the file of the JSON Schema of a line of timeline.jsonl.
const Schema = "timeline.schema.json"

// names are the topics, in the order in which a newcomer reads them. Each has a file.
var names = []string{
	"cautions", "first-hour", "troubleshooting", "glossary", "demo", "wiring", "leads", "draft", "page", "sheet", "airframes", "papers",
	"drills", "tilt", "failsafe", "report", "recheck", "card",
	"session", "soak", "commands", "http", "metrics", "service", "events", "limits", "changes",
}

// Topic is one page of the guide.
type Topic struct {
	Name  string // also that of its file, without .md
	Title string // one line
	Text  string // the whole page as Markdown; its first line is "# " and the title
}

// Topics lists the guide in its order.
func Topics() []Topic {
	list := make([]Topic, 0, len(names))
	for _, name := range names {
		text, err := Files.ReadFile(name + ".md")
		if err != nil {
			panic(err) // a name without a file: the package's test fails
		}
		heading, _, _ := strings.Cut(string(text), "\n")
		list = append(list, Topic{Name: name, Title: strings.TrimPrefix(heading, "# "), Text: string(text)})
	}
	return list
}

// Find is the topic of a name, and whether there is one.
func Find(name string) (Topic, bool) {
	for _, t := range Topics() {
		if t.Name == name {
			return t, true
		}
	}
	return Topic{}, false
}

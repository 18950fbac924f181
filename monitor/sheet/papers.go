package sheet

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/event"
)

// PapersFormat is the format of papers that this program writes and reads.
const PapersFormat = 1

// Papers are what no wire shows of one model: a file beside its sheet, read as strictly.
//
//	papers: 1
//	model: Reedwing 1400
//	firmware: {is: "2.1", by: Ann, date: 2026-05-02}
//	bound: {by: Ann, date: 2026-05-02}
type Papers struct {
	Model   string
	Entries []event.Paper // in the order of event.PaperRows, each once
}

// papersRoot is above all rows of papers.
var papersRoot = &Key{Path: "papers"}

// papersKeys are the rows of papers, which follow from the table of entries.
func papersKeys() []Key {
	list := []Key{
		{Path: "papers.papers", Type: TypeCount, Noun: "papers format", Least: PapersFormat, Most: PapersFormat, Required: true, Example: "1",
			Remark: "the format of this file; leave it at 1"},
		{Path: "papers.model", Type: TypeText, Noun: "the model's name", Required: true, Example: "Reedwing 1400",
			Remark: "your model's name, as in its sheet"},
	}
	for _, row := range event.PaperRows() {
		path := "papers." + row.Name
		list = append(list, Key{Path: path, Type: TypeKeys, Remark: row.Remark},
			Key{Path: path + ".is", Type: TypeText, Noun: row.Name, Required: row.Example != "", Example: quoted(row.Example), Remark: "in your words"},
			Key{Path: path + ".by", Type: TypeText, Noun: "who says so", Required: true, Example: "Ann", Remark: "who says so"},
			Key{Path: path + ".date", Type: TypeText, Noun: "the day", Required: true, Example: "2026-05-02", Remark: "the day, as year-month-day"})
	}
	return list
}

func quoted(s string) string { return `"` + s + `"` }

// ReadPapers reads and checks the papers of a model. The error is Mistakes: all of them, by place.
func ReadPapers(name string, text []byte) (*Papers, error) {
	r := Parser{}.reader(name)
	r.ofPapers = true
	root := r.document(text)
	if root == nil {
		r.mistakes.sort()
		return nil, r.mistakes
	}
	p := r.papers(root)
	if len(r.mistakes) > 0 {
		r.mistakes.sort()
		return nil, r.mistakes
	}
	return p, nil
}

func (r *reader) papers(root *node) *Papers {
	p := &Papers{}
	root.row = papersRoot
	top := r.record(root, "the papers")
	r.whole(top.get("papers"))
	p.Model, _ = r.text(top.get("model"))
	for _, row := range event.PaperRows() {
		n := top.get(row.Name)
		if n == nil {
			continue
		}
		entry := event.Paper{Entry: row.Name}
		clean := r.clean(func() {
			rec := r.record(n, row.Name)
			if is := rec.get("is"); is != nil {
				entry.Is, _ = r.text(is)
			}
			entry.By, _ = r.text(rec.get("by"))
			entry.Date, _ = r.text(rec.get("date"))
		})
		if !clean {
			continue
		}
		if err := entry.Check(); err != nil {
			r.refuse(n, err.Error(), "an entry such as "+n.row.Entry())
			continue
		}
		p.Entries = append(p.Entries, entry)
	}
	return p
}

// Text writes papers as ReadPapers reads them. Remarks that somebody put into the file are not kept.
func (p *Papers) Text() []byte {
	var b strings.Builder
	b.WriteString("# The papers of a model: what no wire shows of it. benchproof papers set changes an entry.\n")
	fmt.Fprintf(&b, "papers: %d\nmodel: %s\n", PapersFormat, yamlText(p.Model))
	for _, e := range p.Entries {
		is := ""
		if e.Is != "" {
			is = "is: " + yamlText(e.Is) + ", "
		}
		fmt.Fprintf(&b, "%s: {%sby: %s, date: %s}\n", e.Entry, is, yamlText(e.By), e.Date)
	}
	return []byte(b.String())
}

// yamlText is text in double quotes, as YAML 1.2 reads it: what Check lets pass is printable.
func yamlText(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

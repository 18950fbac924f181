package main

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/text"
)

// guidePage sets a page of Markdown for a terminal: running text wrapped at words, code
// as it is, a table in columns where it fits and else as terms with what belongs to them.
// It knows the blocks that the guide is written in, and no others: headings, paragraphs,
// lists of one level, tables, fenced code, pictures.
func guidePage(markdown string, width int) string {
	p := pageSetter{width: width}
	for line := range strings.Lines(markdown) {
		p.line(strings.TrimRight(line, "\n"))
	}
	p.flush()
	return p.page.String()
}

// pageSetter goes through a page line by line.
type pageSetter struct {
	width  int
	page   strings.Builder
	fenced bool       // between two fences
	block  []string   // lines of the paragraph or list item under way
	rows   [][]string // of the table under way
}

var listItem = regexp.MustCompile(`^(- |[0-9]+\. )`)

func (p *pageSetter) line(line string) {
	switch {
	case strings.HasPrefix(line, "```"):
		p.flush()
		p.fenced = !p.fenced
	case p.fenced:
		p.page.WriteString(strings.TrimRight("    "+line, " ") + "\n")
	case line == "":
		p.flush()
		p.page.WriteString("\n")
	case strings.HasPrefix(line, "#"):
		p.heading(line)
	case strings.HasPrefix(line, "|"):
		p.rows = append(p.rows, cells(line))
	case listItem.MatchString(line):
		p.flush()
		p.block = []string{line}
	default:
		p.block = append(p.block, line)
	}
}

func (p *pageSetter) heading(line string) {
	level, title, _ := strings.Cut(line, " ")
	title = plain(title)
	rule := map[string]string{"#": "=", "##": "-"}[level]
	p.page.WriteString(title + "\n")
	if rule != "" {
		p.page.WriteString(strings.Repeat(rule, min(utf8.RuneCountInString(title), p.width)) + "\n")
	}
}

// flush sets what is under way.
func (p *pageSetter) flush() {
	if len(p.rows) > 0 {
		p.table()
	}
	if len(p.block) > 0 {
		running := strings.Join(p.block, " ")
		mark := listItem.FindString(running)
		set := text.Wrap(plain(running[len(mark):]), p.width, strings.Repeat(" ", len(mark)))
		p.page.WriteString(mark + set[len(mark):] + "\n")
	}
	p.block, p.rows = nil, nil
}

func (p *pageSetter) table() {
	rows := slices.DeleteFunc(p.rows, func(row []string) bool { return strings.Trim(strings.Join(row, ""), "-") == "" })
	widths := make([]int, len(rows[0]))
	sum := 0
	for i := range widths {
		for _, row := range rows {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
		sum += widths[i] + 2
	}
	for i, row := range rows {
		switch {
		case sum-2 <= p.width:
			p.columns(row, widths)
		case i > 0: // its head says nothing that the terms don't
			p.term(row)
		}
	}
}

func (p *pageSetter) columns(row []string, widths []int) {
	var line strings.Builder
	for i, cell := range row {
		line.WriteString(cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2))
	}
	p.page.WriteString(strings.TrimRight(line.String(), " ") + "\n")
}

func (p *pageSetter) term(row []string) {
	p.page.WriteString(text.Wrap(row[0], p.width, "") + "\n")
	for _, cell := range row[1:] {
		if cell != "" {
			p.page.WriteString(text.Wrap(cell, p.width, "    ") + "\n")
		}
	}
}

// cells are those of a table's row.
func cells(line string) []string {
	const bar = "\x00" // stands for one that is part of a cell
	inner := strings.Trim(strings.ReplaceAll(line, `\|`, bar), "|")
	row := strings.Split(inner, "|")
	for i := range row {
		row[i] = plain(strings.TrimSpace(strings.ReplaceAll(row[i], bar, "|")))
	}
	return row
}

var (
	picture  = regexp.MustCompile(`!\[([^]]*)\]\([^)]*\)`)
	link     = regexp.MustCompile(`\[([^]]*)\]\(([a-z-]+)\.md\)`)
	emphasis = regexp.MustCompile(`\*{1,2}([^*]+)\*{1,2}`)
)

// plain takes the marks out of running text, and says where a link leads.
func plain(s string) string {
	s = picture.ReplaceAllString(s, "(A drawing, which a browser shows: $1)")
	s = link.ReplaceAllString(s, "$1 (guide $2)")
	parts := strings.Split(s, "`") // every second one is code: a star in it is a star
	for i := 0; i < len(parts); i += 2 {
		parts[i] = emphasis.ReplaceAllString(parts[i], "$1")
	}
	return strings.Join(parts, "")
}

// Package page prints a record as one HTML file, byte for byte the same for the same
// record and build.
package page

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

//go:embed *.html.tmpl
var layout embed.FS

// Options says how much of a record is printed.
type Options struct {
	Short      bool     // without the appendix
	PassedOver []string // earlier sessions with which nothing was compared, and why, a part of a sentence each
}

// page is what the template prints: words and numbers, nothing left to decide.
type page struct {
	*record.Record
	Date     string
	Length   string
	Safe     string
	Minimum  string
	Source   string
	Cautions []string
	Field    []string

	Listened bool // there was no sheet to judge by

	First   firstPage
	Soak    *soakPage // nil where the session was no long run
	Short   bool
	Changed []string
	Counts  []string // from which difference on a figure counts as moved, each once
	Asked   []combinationRow
	Losses  []lossView
	Wrong   []row
	Open    []openGroup // open and stale ones
	Groups  []group     // all claims by heading
	Outputs []outputRow
	Tilts   []string
	Ranged  []walkTable
	Since   *compare.Comparison
	LeftOut string

	PassedOver []string

	ids []string // of claims
}

// row is one claim.
type row struct {
	record.Claim
	Anchor string
	When   string // where the evidence lies
	Plot   *plot
}

type group struct {
	Name string
	Rows []row
}

type combinationRow struct {
	record.CombinationResult
	Positions []string
	Widths    []string
	AskedFor  string
	Inside    string
	Word      string // the verdict on the mode
	MarginBy  string // the verdict on the margin
}

// Write prints a record as one HTML file that needs nothing else. since is what
// changed since an earlier session, nil where there is none.
func Write(w io.Writer, r *record.Record, since *compare.Comparison, o Options) error {
	s, err := sheet.Read("the record's sheet", []byte(r.Sheet))
	if err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	p := newPage(r, s, since, o)
	t, err := template.New("report.html.tmpl").Funcs(template.FuncMap{
		"clock": record.FormatTenths, "between": event.WidthRange, "often": text.Times[int64], "span": unit.FormatDuration, "width": unit.FormatWidth,
		"mode": text.ModeName, "under": under, "times": text.Times[int], "paper": p.paper,
	}).ParseFS(layout, "*.html.tmpl")
	if err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	if err := t.Execute(&text.Writer{To: w}, p); err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	return nil
}

func newPage(r *record.Record, s *sheet.Sheet, since *compare.Comparison, o Options) *page {
	p := &page{
		Record: r, Date: FormatDate(r.Begun), Length: unit.FormatDuration(r.LengthNS), Safe: notSafe, Minimum: minimum, Source: source,
		Cautions: cautions, Field: atTheField, Short: o.Short, Since: since, LeftOut: leftOut(r.Timeline.Left),
		PassedOver: o.PassedOver, Listened: s.Listens,
	}
	claims := claim.NewIndex(s)
	for i := range r.Claims {
		p.ids = append(p.ids, r.Claims[i].ID)
	}
	for i := range r.Claims {
		p.claim(r, &r.Claims[i], headingOf(claims[r.Claims[i].ID]))
	}
	for i := range r.Modes {
		p.Asked = append(p.Asked, newCombinationRow(&r.Modes[i], r))
	}
	for i := range r.Losses {
		p.Losses = append(p.Losses, newLoss(i, r, s))
	}
	for i := range r.Outputs {
		p.Outputs = append(p.Outputs, newOutputRow(&r.Outputs[i], s))
	}
	for i := range r.Walks {
		p.Ranged = append(p.Ranged, newWalkTable(&r.Walks[i]))
	}
	for _, t := range r.Tilts {
		p.Tilts = append(p.Tilts, t.WhoTilted())
	}
	slices.SortStableFunc(p.Open, func(a, b openGroup) int { return len(b.Rows) - len(a.Rows) }) // what settles most comes first
	p.First, p.Soak = newFirst(p, s), newSoakPage(r, s)
	p.Changed, p.Counts = p.changes(), counted(since)
	return p
}

// paper is a text without the IDs of claims.
func (p *page) paper(text string) string { return withoutIDs(text, p.ids) }

// headingOf is where a claim of the sheet is listed, nil where the sheet has it no more.
func headingOf(c *claim.Claim) claim.Heading {
	if c == nil {
		return claim.HeadingRest
	}
	return c.Heading()
}

// claim puts a claim where it is printed.
func (p *page) claim(r *record.Record, c *record.Claim, heading claim.Heading) {
	one := p.newRow(r, c)
	p.group(string(heading), one)
	switch claim.Verdict(c.Verdict) {
	case claim.VerdictWrong:
		if one.Plot = plotOf(r, c, small); one.Plot != nil {
			one.Plot.ID += "-wrong"
		}
		p.Wrong = append(p.Wrong, one)
	case claim.VerdictOpen, claim.VerdictStale:
		p.open(one)
	}
}

func (p *page) group(name string, one row) {
	i := slices.IndexFunc(p.Groups, func(g group) bool { return g.Name == name })
	if i < 0 {
		p.Groups = append(p.Groups, group{Name: name})
		i = len(p.Groups) - 1
	}
	p.Groups[i].Rows = append(p.Groups[i].Rows, one)
}

func (p *page) newRow(r *record.Record, c *record.Claim) row {
	one := row{Claim: *c, Anchor: anchor(c.ID), When: whenSeen(c.Evidence), Plot: plotOf(r, c, small)}
	one.Sentence = p.paper(c.Sentence)
	return one
}

func anchor(id string) string { return "claim-" + strings.NewReplacer("/", "--", ":", "-").Replace(id) }

func plotOf(r *record.Record, c *record.Claim, l plotSize) *plot {
	for i := range r.Traces {
		if r.Traces[i].ID == c.Trace {
			p := draw(&r.Traces[i], l, c.Evidence, nil)
			p.ID += "-" + anchor(c.ID)
			if now, ok := c.Figures["now_ns"]; ok && len(p.Strips) == 1 { // the trace ends live again
				p.Strips[0].Last = unit.FormatWidth(unit.Width(now))
			}
			return p
		}
	}
	return nil
}

func whenSeen(spans []event.Span) string {
	if len(spans) == 0 {
		return ""
	}
	last := spans[len(spans)-1]
	if last.From == last.To {
		return record.FormatTenths(last.From)
	}
	return record.FormatTenths(last.From) + " – " + record.FormatTenths(last.To)
}

func newCombinationRow(a *record.CombinationResult, r *record.Record) combinationRow {
	row := combinationRow{CombinationResult: *a, AskedFor: text.ModeName(a.Mode), Word: "not seen", Inside: unit.FormatWidth(a.MarginNS)}
	for _, at := range a.At {
		row.Positions = append(row.Positions, at.Channel+" "+at.Position)
		row.Widths = append(row.Widths, unit.FormatWidth(at.WidthNS))
	}
	if a.Seen {
		row.Word = "seen"
	}
	for _, c := range r.Claims {
		if c.ID == a.Claim && a.Seen {
			row.Word = c.Verdict
		}
		if c.ID == a.Margin && a.Seen {
			row.MarginBy = c.Verdict
		}
	}
	if a.Mode == "" {
		row.Inside = "–"
	}
	return row
}

// under is a list in words.
func under(list []string) string { return strings.Join(list, ", ") }

// leftOut says what the digest of the timeline leaves out.
func leftOut(left map[string]int64) string {
	var parts []string
	for _, kind := range slices.Sorted(maps.Keys(left)) {
		parts = append(parts, fmt.Sprintf("%s %d", kind, left[kind]))
	}
	return strings.Join(parts, ", ")
}

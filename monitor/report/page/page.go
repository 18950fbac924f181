// Package page prints a record as one HTML file, byte for byte the same for the same
// record and build.
package page

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
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

//go:embed report.html.tmpl
var layout string

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

	Answers  summary
	Changed  []string
	Asked    []combinationRow
	Failsafe []row // claims on failsafe
	Losses   []lossView
	NoFlags  bool
	Wrong    []row
	Unproven []row
	Groups   []group
	Outputs  []outputRow
	Tilts    []string
	Since    *compare.Comparison
	LeftOut  string
}

// row is one claim.
type row struct {
	record.Claim
	Anchor string
	When   string // where the evidence lies
	Plot   *plot
	Cut    bool // the claim beside which the published minimum stands

	family  claim.Family
	heading claim.Heading
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
func Write(w io.Writer, r *record.Record, since *compare.Comparison) error {
	s, err := sheet.Read("the record's sheet", []byte(r.Sheet))
	if err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	t, err := template.New("report").Funcs(template.FuncMap{
		"clock": record.FormatTenths, "span": unit.FormatDuration, "width": unit.FormatWidth,
		"mode": text.ModeName, "under": under, "times": times,
	}).Parse(layout)
	if err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	if err := t.Execute(w, newPage(r, s, since)); err != nil {
		return fmt.Errorf("print the report: %w", err)
	}
	return nil
}

func newPage(r *record.Record, s *sheet.Sheet, since *compare.Comparison) *page {
	p := &page{
		Record: r, Date: FormatDate(r.Begun), Length: unit.FormatDuration(r.LengthNS), Safe: notSafe, Minimum: minimum, Source: source,
		Cautions: cautions, Field: atTheField, Since: since, LeftOut: leftOut(r.Timeline.Left),
	}
	claims := claim.NewIndex(s)
	for i := range r.Claims {
		p.claim(newRow(r, &r.Claims[i], claims[r.Claims[i].ID], s))
	}
	for i := range r.Modes {
		p.Asked = append(p.Asked, newCombinationRow(&r.Modes[i], r))
	}
	for i := range r.Losses {
		p.Losses = append(p.Losses, newLoss(i+1, r, s))
	}
	for i := range r.Outputs {
		p.Outputs = append(p.Outputs, newOutputRow(&r.Outputs[i], s))
	}
	for _, t := range r.Tilts {
		p.Tilts = append(p.Tilts, t.WhoTilted())
	}
	p.Answers = newSummary(p, s)
	p.Changed = changed(since, Differences)
	return p
}

// claim puts a claim where it is printed.
func (p *page) claim(one row) {
	if one.heading == claim.HeadingFailsafe {
		p.Failsafe = append(p.Failsafe, one)
	} else {
		p.group(string(one.heading), one)
	}
	switch claim.Verdict(one.Verdict) {
	case claim.VerdictWrong:
		one.Plot = plotOf(p.Record, &one.Claim, large)
		p.Wrong = append(p.Wrong, one)
	case claim.VerdictOpen, claim.VerdictStale:
		p.Unproven = append(p.Unproven, one)
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

// newRow has a claim of a record; of is the claim of the sheet, nil where it has none.
func newRow(r *record.Record, c *record.Claim, of *claim.Claim, s *sheet.Sheet) row {
	one := row{Claim: *c, Anchor: anchor(c.ID), When: whenSeen(c.Evidence), Plot: plotOf(r, c, small), heading: claim.HeadingRest}
	if of != nil {
		one.family, one.heading = of.Family, of.Heading()
		one.Cut = of.Family == claim.FamilyFailsafe && slices.Contains(s.ThrottleChannels(), of.Channel)
	}
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

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

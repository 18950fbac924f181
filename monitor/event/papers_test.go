package event_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
)

func TestPapersAreChecked(t *testing.T) {
	fine := event.Paper{Entry: "firmware", Is: "2.1", By: "Ann", Date: "2024-02-29"}
	require.NoError(t, fine.Check())
	for why, change := range map[string]func(*event.Paper){
		"one of receiver":     func(p *event.Paper) { p.Entry = "colour" },
		"says nothing":        func(p *event.Paper) { p.Is = " " },
		"too long":            func(p *event.Paper) { p.Is = strings.Repeat("é", 201) },
		"signed by nobody":    func(p *event.Paper) { p.By = "" },
		"the name behind":     func(p *event.Paper) { p.By = strings.Repeat("a", 41) },
		"control characters":  func(p *event.Paper) { p.Is = "2.1\x1b[31m" },
		"a day such as":       func(p *event.Paper) { p.Date = "2023-02-29" },
		`date "2100-02-29"`:   func(p *event.Paper) { p.Date = "2100-02-29" },
		`date "2026-04-31"`:   func(p *event.Paper) { p.Date = "2026-04-31" },
		`date "2026-13-01"`:   func(p *event.Paper) { p.Date = "2026-13-01" },
		`date "2026-00-01"`:   func(p *event.Paper) { p.Date = "2026-00-01" },
		`date "1999-12-31"`:   func(p *event.Paper) { p.Date = "1999-12-31" },
		`date "2026-1-011"`:   func(p *event.Paper) { p.Date = "2026-1-011" },
		"throws without a fi": func(p *event.Paper) { p.Entry, p.Is = "throws", "far" },
	} {
		p := fine
		change(&p)
		assert.ErrorContains(t, p.Check(), why)
	}
	p := event.Paper{Entry: "bound", By: "Ann", Date: "2000-02-29"}
	assert.NoError(t, p.Check(), "the date says it all; 2000 was a leap year")
	p = event.Paper{Entry: "firmware", Is: strings.Repeat("é", 200), By: strings.Repeat("a", 40), Date: "2026-12-31"}
	assert.NoError(t, p.Check(), "as long as may be")
}

func TestPapersOfOneModel(t *testing.T) {
	throws := event.Paper{Entry: "throws", Is: "12 mm", By: "Ann", Date: "2026-05-02"}
	list, was, changed := event.WithPaper(nil, throws)
	assert.True(t, changed)
	assert.Nil(t, was)
	list, _, _ = event.WithPaper(list, event.Paper{Entry: "learned", By: "Ann", Date: "2026-05-02"})
	assert.Equal(t, []string{"learned", "throws"}, []string{list[0].Entry, list[1].Entry}, "in the order of the rows")
	assert.Empty(t, throws.Outdated(list), "of the same day")
	_, _, changed = event.WithPaper(list, throws)
	assert.False(t, changed, "says the same")
	later, was, changed := event.WithPaper(list, event.Paper{Entry: "learned", By: "Ann", Date: "2026-05-03"})
	assert.True(t, changed)
	assert.Equal(t, "2026-05-02", was.Date)
	assert.Equal(t, []string{"learned"}, throws.Outdated(later))
	assert.Equal(t, "2026-05-02", list[0].Date, "the list before stays as it was")
	unknown := event.Paper{Entry: "colour"}
	assert.Empty(t, unknown.Outdated(later))
}

func TestEachNeedOfPapersIsAnEntry(t *testing.T) {
	for _, row := range event.PaperRows() {
		for _, need := range row.Needs {
			_, ok := event.PaperRowOf(need)
			assert.True(t, ok && need != row.Name, "%s needs %s", row.Name, need)
		}
	}
}

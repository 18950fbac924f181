package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

const somePapers = `papers: 1
model: Reedwing 1400
bound: {by: Ann, date: 2026-05-02}
receiver: {is: "six outputs \"A\" \\ B", by: Ann, date: 2026-05-01}
throws: {is: "ailerons 12 mm up", by: Ben, date: 2026-05-03}
`

func TestPapersAreReadAndWritten(t *testing.T) {
	p, err := sheet.ReadPapers("p.yaml", []byte(somePapers))
	require.NoError(t, err)
	assert.Equal(t, &sheet.Papers{Model: "Reedwing 1400", Entries: []event.Paper{
		{Entry: "receiver", Is: `six outputs "A" \ B`, By: "Ann", Date: "2026-05-01"},
		{Entry: "bound", By: "Ann", Date: "2026-05-02"},
		{Entry: "throws", Is: "ailerons 12 mm up", By: "Ben", Date: "2026-05-03"},
	}}, p)
	again, err := sheet.ReadPapers("p.yaml", p.Text())
	require.NoError(t, err)
	assert.Equal(t, p, again)
}

func TestPapersAreRefused(t *testing.T) {
	for name, x := range map[string]struct{ old, new, want string }{
		"nothing":          {somePapers, "", "1:1: found an empty file"},
		"a sheet":          {somePapers, "sheet: 1\nmodel: A\n", "1:1: found the unknown key \"sheet\" in the papers"},
		"a later format":   {"papers: 1", "papers: 2", "1:9: found"},
		"no format":        {"papers: 1\n", "", "the papers without the key papers"},
		"no model":         {"model: Reedwing 1400\n", "", "the papers without the key model"},
		"unknown entry":    {"bound:", "bond:", "found the unknown key \"bond\" in the papers; bound"},
		"unknown key":      {"{by: Ann, date: 2026-05-02}", "{who: Ann, date: 2026-05-02}", "3:9: found the unknown key \"who\" in bound"},
		"nobody":           {"{by: Ann, date: 2026-05-02}", "{date: 2026-05-02}", "3:8: found bound without the key by"},
		"no day":           {"{by: Ann, date: 2026-05-02}", "{by: Ann}", "3:8: found bound without the key date"},
		"no such day":      {"2026-05-02", "2026-02-29", `3:8: found got the date "2026-02-29" for bound`},
		"another calendar": {"2026-05-02", "02.05.2026", `for bound, want a day such as 2026-05-02`},
		"no words":         {`is: "six outputs \"A\" \\ B", `, "", "4:11: found receiver without the key is"},
		"throws of what":   {"ailerons 12 mm up", "ailerons 12 up", "throws without a figure in mm"},
		"twice":            {"throws:", "bound:", "found the key \"bound\" a second time"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, somePapers, x.old)
			_, err := sheet.ReadPapers("p.yaml", []byte(strings.Replace(somePapers, x.old, x.new, 1)))
			require.Error(t, err)
			assert.Contains(t, err.Error(), x.want)
		})
	}
}

//go:build outside

package report_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/unit"
)

const mm = 72 / 25.4 // points

// papers are what people print on, in points.
var papers = map[string][2]float64{"A4": {210 * mm, 297 * mm}, "letter": {8.5 * 72, 11 * 72}}

// A browser prints the page on both papers: every word of the page on them, and none beyond
// the margins.
func TestABrowserPrintsThePage(t *testing.T) {
	since, err := compare.Compare("then", worst(t), "now", kept(t))
	require.NoError(t, err)
	text := printed(t, kept(t), since, page.Options{})
	for paper, size := range papers {
		t.Run(paper, func(t *testing.T) {
			sheets, words := printedOn(t, paper, text)
			assert.GreaterOrEqual(t, len(sheets), 8)
			assert.LessOrEqual(t, len(sheets), 28)
			for i, s := range sheets {
				assert.InDelta(t, size[0], s.width, 1.5, "width of sheet %d", i+1)
				assert.InDelta(t, size[1], s.height, 1.5, "height of sheet %d", i+1)
				assert.NotEmpty(t, s.words, "sheet %d is empty", i+1)
				for _, w := range s.words {
					const edge = 12*mm - 1 // the page's own margins are 12.5 mm and 13 mm
					assert.True(t, w.left >= edge && w.right <= s.width-edge && w.top >= edge && w.bottom <= s.height-edge, "%q is cut off on sheet %d: %+v", w.text, i+1, w)
				}
			}
			letters := map[rune]int{}
			count(letters, textOf(t, text))
			for letter, n := range letters { // the heads of tables stand on each sheet anew
				assert.GreaterOrEqual(t, words[letter], n, "a word with %c is missing", letter)
				assert.LessOrEqual(t, words[letter], n+n/20+20, "there are more words with %c than the page has", letter)
			}
		})
	}
}

// The first page is one printed page whatever a session showed, and all of it: what is behind
// it begins on the second. Without the appendix the sessions of the corpus that are like the
// demo take four pages.
func TestTheFirstPageIsOnePrintedPage(t *testing.T) {
	_, faulty, _ := faultySitting(t)
	since, err := compare.Compare("then", kept(t), "now", worst(t))
	require.NoError(t, err)
	for name, c := range map[string]struct {
		of    *record.Record
		since *compare.Comparison
		most  int
	}{
		"all well":  {kept(t), nil, 4},
		"faulty":    {faulty, nil, 4},
		"all wrong": {worst(t), since, 20},
		"leads":     {fromCorpus(t, "reedwing-leads"), nil, 4},
		"no leads":  {fromCorpus(t, "reedwing-all-well"), nil, 4},
		"holds":     {fromCorpus(t, "reedwing-holds"), nil, 5},
	} {
		text := printed(t, c.of, c.since, page.Options{Short: true})
		for paper := range papers {
			t.Run(name+" on "+paper, func(t *testing.T) {
				sheets, _ := printedOn(t, paper, text)
				assert.LessOrEqual(t, len(sheets), c.most)
				first := sheets[0].text()
				for _, words := range []string{
					c.of.Model, "never a clearance to fly.", "seen wrong", "What is wrong, and what to do", "What was not looked at, or not settled",
					"Which switch position asks for which mode", "What changed for the worse", "The moment the signal was lost",
				} {
					assert.Contains(t, first, words)
				}
				assert.True(t, strings.HasPrefix(sheets[1].text(), "1. What was seen wrong"), "the first page runs over: the second begins with %.300q", sheets[1].text())
			})
		}
	}
}

// The page of a long run is one printed page, whatever happened and however much is declared.
func TestTheLongRunIsOnePrintedPage(t *testing.T) {
	long := strings.Repeat("a long declaration that somebody takes seriously ", 3)
	much := "soak: {distance: " + long + ", mode: off, outputs: loaded, transmitter_idle: " + long +
		", receiver_supply: " + long + ", transmitter_supply: " + long + "}\n"
	few := func(declared string, run func(*soakRun)) *record.Record {
		return soaked(t, kept(t), declared, run, "main")
	}
	leads := func(declared string, run func(*leadsRun)) *record.Record {
		return soakedLeads(t, kept(t), declared, run)
	}
	for name, of := range map[string]*record.Record{
		"a weekend":       few(declared, aLongWeekend),
		"quiet":           few(declared, func(r *soakRun) { r.goOn(30*hour, 0) }),
		"short":           few(declared, func(r *soakRun) { r.goOn(unit.Minute, 0) }),
		"seven days":      few(declared, func(r *soakRun) { r.goOn(7*24*hour, 1) }),
		"all at its most": soaked(t, kept(t), much, often(60), "main", "second", "the-third-of-all-buses", "fourth"),
		"most of one bus": few(much, often(28)),
		"leads, quiet":    leads(declared, quiet(30, 0)),
		"leads, short":    leads(declared, func(r *leadsRun) { r.rest(unit.Minute) }),
		"most of leads":   leads(much, leadsOften(28)),
	} {
		text := printed(t, of, nil, page.Options{Short: true})
		for paper := range papers {
			t.Run(name+" on "+paper, func(t *testing.T) {
				sheets, _ := printedOn(t, paper, text)
				require.Greater(t, len(sheets), 2)
				words := sheets[1].text()
				for _, want := range []string{
					"The long run", "What is proven", "What is not proven", "that it stays so", "at other distances and in flight", "Words on this page",
					"Under what it was done", "How long it was watched", "What happened", "The days of", "The worst hour", "Before you leave it alone",
					"clearance to fly",
				} {
					assert.Contains(t, words, want)
				}
				assert.True(t, strings.HasPrefix(sheets[2].text(), "1. What was seen wrong"), "the page runs over: the next begins with %.300q", sheets[2].text())
			})
		}
	}
}

// often is a run of so many quarters of a day, about, each with an outage and a pause.
func often(times int) func(*soakRun) {
	return func(r *soakRun) {
		for range times {
			r.goOn(5*hour+unit.Minute, 3)
			r.lose(70 * unit.Second)
			r.stop(45 * unit.Minute)
		}
		r.signal(1, false)
		r.goOn(3*unit.Minute, 0)
	}
}

// leadsOften is such a run of leads, of sixteen outputs, of which one goes at last.
func leadsOften(times int) func(*leadsRun) {
	return func(r *leadsRun) {
		for n := 1; n <= 16; n++ {
			r.come(n)
		}
		for i := range times {
			r.rest(5*hour + unit.Minute)
			r.stop(1, 2, 3+i%13)
			r.rest(70 * unit.Second)
			r.come(1, 2, 3+i%13)
			r.hear(event.BoardSilent, "tap:leads", event.SilentData{})
			r.rest(45 * unit.Minute)
			r.hear(event.BoardHeard, "tap:leads", event.BoardHeardData{})
		}
		for n := 1; n <= 16; n++ {
			r.stop(n)
		}
		r.rest(3 * unit.Minute)
	}
}

func fromCorpus(t *testing.T, name string) *record.Record {
	t.Helper()
	r, err := report.FromRecording(t.Context(), sessionOf("../../testdata/corpus/"+name))
	require.NoError(t, err)
	return r
}

type sheetOf struct {
	width, height float64
	words         []word
}

func (s *sheetOf) text() string {
	var words []string
	for _, w := range s.words {
		words = append(words, w.text)
	}
	return strings.Join(words, " ")
}

type word struct {
	text                     string
	left, top, right, bottom float64
}

// printedOn prints a page on a paper and reads back what is where. letters
// counts them over all sheets, whatever lines they were broken into.
func printedOn(t *testing.T, paper, page string) (sheets []sheetOf, letters map[rune]int) {
	t.Helper()
	dir := t.TempDir()
	in, pdf := filepath.Join(dir, "report.html"), filepath.Join(dir, "report.pdf")
	sized := strings.Replace(page, "@page {", "@page { size: "+paper+";", 1)
	require.NotEqual(t, page, sized)
	require.NoError(t, os.WriteFile(in, []byte(sized), 0o600))
	browser := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-component-update",
		"--no-first-run", "--user-data-dir="+filepath.Join(dir, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+in)
	out, err := browser.CombinedOutput()
	require.NoError(t, err, string(out))
	boxes, err := exec.Command("pdftotext", "-bbox", pdf, "-").Output()
	require.NoError(t, err)
	letters = map[rune]int{}
	z := html.NewTokenizer(strings.NewReader(string(boxes)))
	for kind := z.Next(); kind != html.ErrorToken; kind = z.Next() {
		tok := z.Token()
		if kind != html.StartTagToken {
			continue
		}
		switch tok.Data {
		case "page":
			sheets = append(sheets, sheetOf{width: number(t, tok, "width"), height: number(t, tok, "height")})
		case "word":
			w := word{left: number(t, tok, "xmin"), top: number(t, tok, "ymin"), right: number(t, tok, "xmax"), bottom: number(t, tok, "ymax")}
			z.Next()
			w.text = z.Token().Data
			count(letters, w.text)
			last := &sheets[len(sheets)-1]
			last.words = append(last.words, w)
		}
	}
	return sheets, letters
}

func number(t *testing.T, tok html.Token, key string) float64 {
	for _, a := range tok.Attr {
		if a.Key == key {
			v, err := strconv.ParseFloat(a.Val, 64)
			require.NoError(t, err)
			return v
		}
	}
	t.Fatalf("no %s at %s", key, tok)
	return 0
}

// count counts letters and digits: signs that a browser draws (bullets) or a
// reader joins (ligatures of spaces and dashes) are left out.
func count(letters map[rune]int, text string) {
	for _, r := range text {
		if r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			letters[r]++
		}
	}
}

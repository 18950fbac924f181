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
)

const mm = 72 / 25.4 // points

// A browser prints the page on both papers: as many sheets as a binder takes, every
// word of the page on them, and none beyond the margins.
func TestABrowserPrintsThePage(t *testing.T) {
	page, err := os.ReadFile("testdata/faulty.report.html")
	require.NoError(t, err)
	for paper, size := range map[string][2]float64{"A4": {210 * mm, 297 * mm}, "letter": {8.5 * 72, 11 * 72}} {
		t.Run(paper, func(t *testing.T) {
			sheets, words := printedOn(t, paper, string(page))
			assert.GreaterOrEqual(t, len(sheets), 8)
			assert.LessOrEqual(t, len(sheets), 24)
			for i, s := range sheets {
				assert.InDelta(t, size[0], s.width, 1.5, "width of sheet %d", i+1)
				assert.InDelta(t, size[1], s.height, 1.5, "height of sheet %d", i+1)
				assert.NotEmpty(t, s.words, "sheet %d is empty", i+1)
				for _, w := range s.words {
					const edge = 12*mm - 1 // the page's own margins are 13 mm and 14 mm
					assert.True(t, w.left >= edge && w.right <= s.width-edge && w.top >= edge && w.bottom <= s.height-edge, "%q is cut off on sheet %d: %+v", w.text, i+1, w)
				}
			}
			for letter, n := range wordsOf(t, string(page)) { // the heads of tables stand on each sheet anew
				assert.GreaterOrEqual(t, words[letter], n, "a word with %c is missing", letter)
				assert.LessOrEqual(t, words[letter], n+n/20+20, "there are more words with %c than the page has", letter)
			}
		})
	}
}

type sheetOf struct {
	width, height float64
	words         []word
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

func wordsOf(t *testing.T, page string) map[rune]int {
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	letters := map[rune]int{}
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Data == "head" {
			return
		}
		if n.Type == html.TextNode {
			count(letters, n.Data)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
	return letters
}

//go:build outside

package card_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/card"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// A browser prints the card on one page of either paper, whatever the sheet has, and all of it.
func TestTheCardIsOnePrintedPage(t *testing.T) {
	most := mostOfAll(t)
	papers := []event.Paper{}
	for _, entry := range []string{"bound", "learned", "levelled", "mounting"} {
		papers = append(papers, event.Paper{Entry: entry, Is: strings.Repeat("as long as it may be ", 9), By: "Ann", Date: "2026-05-02"})
	}
	for _, paper := range []string{"A4", "letter"} {
		t.Run(paper, func(t *testing.T) {
			pages := printedOn(t, card.New(most, session(most, nil), papers), paper)
			require.Len(t, pages, 1, "it runs over: the second page begins with %.200q", last(pages))
			for _, want := range []string{"field card", "Without a signal", "the law come first"} {
				assert.Contains(t, strings.Join(strings.Fields(pages[0]), " "), want)
			}
		})
	}
}

func last(pages []string) string { return pages[len(pages)-1] }

// mostOfAll is a sheet with everything on it, under the longest names.
func mostOfAll(t *testing.T) *sheet.Sheet {
	t.Helper()
	long := strings.Repeat("wide-", 11)
	text := string(sheet.Starter())
	for _, name := range []string{"strength", "aid", "teach", "first", "second", "third", "fourth", "upright", "damping"} {
		text = strings.ReplaceAll(text, name+":", long+name+":")
		text = strings.ReplaceAll(text, name+"}", long+name+"}")
		text = strings.ReplaceAll(text, ": "+name+" ", ": "+long+name+" ")
	}
	text = strings.ReplaceAll(text, "{aid:", "{"+long+"aid:")
	outputs := ""
	for n := 5; n <= 16; n++ {
		outputs += fmt.Sprintf("  %d: {surface: %s flaperon, moved_by: {aileron: 1.0, elevator: 0.5, rudder: 0.2}, corrects: [roll, pitch, yaw]}\n", n, long)
	}
	text = strings.Replace(text, "\noutputs:\n", "\noutputs:\n"+outputs, 1)
	text = strings.Replace(text, "  # righting: {channel: rescue, when: pressed}", "  righting: {channel: "+long+"teach, when: pressed}", 1)
	return read(t, text)
}

// printedOn is the text of each page that a browser prints.
func printedOn(t *testing.T, c *card.Card, paper string) []string {
	t.Helper()
	var html bytes.Buffer
	require.NoError(t, c.WritePage(&html))
	dir := t.TempDir()
	in, pdf := filepath.Join(dir, "card.html"), filepath.Join(dir, "card.pdf")
	sized := strings.Replace(html.String(), "@page {", "@page { size: "+paper+";", 1)
	require.NotEqual(t, html.String(), sized)
	require.NoError(t, os.WriteFile(in, []byte(sized), 0o600))
	browser := exec.CommandContext(t.Context(), "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-component-update",
		"--no-first-run", "--user-data-dir="+filepath.Join(dir, "profile"), "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+in)
	out, err := browser.CombinedOutput()
	require.NoError(t, err, string(out))
	if keep := os.Getenv("BENCHPROOF_KEEP"); keep != "" {
		data, err := os.ReadFile(pdf)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(keep, strings.ReplaceAll(t.Name(), "/", "-")+".pdf"), data, 0o600))
	}
	words, err := exec.CommandContext(t.Context(), "pdftotext", pdf, "-").Output()
	require.NoError(t, err)
	return strings.Split(strings.TrimSuffix(string(words), "\f"), "\f")
}

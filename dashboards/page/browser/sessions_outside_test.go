//go:build outside && linux

package browser_test

import (
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sessions beside this one are listed, and their reports are made and read from the page.
func TestPastSessions(t *testing.T) {
	t.Parallel()
	tab := allowed(t, chromium, watching, "#sessions")
	tab.Shows("main", soon, "2026-05-02-110000", "This session: it still runs")
	tab.Accessible(t, "past sessions", "header")
	tab.Screens("sessions")
	const made = `document.querySelector('.sessions a[href*="2026-05-02-110000"]')?.href`
	var href string
	if tab.Eval(made, &href); href == "" {
		tab.Click(".sessions-list li:last-child button")
		tab.Holds("!!"+made, soon)
		tab.Eval(made, &href)
	}
	tab.Forgive("sandboxed") // no script runs in a report, ours neither
	tab.Go(href)
	tab.Picture("report-phone-light")

	at, err := url.Parse(href)
	require.NoError(t, err)
	report := watching.get(t, at.Path)
	assert.Contains(t, string(report), "never a clearance to fly")
	read := chromium.Open(t, elsewhere(t, report))
	read.Forgive("favicon")
	assert.Empty(t, read.Offences(""), "the report")
}

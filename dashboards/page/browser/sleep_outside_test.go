//go:build outside && linux

package browser_test

import (
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/page/browser"
)

// asleep is how long a page sleeps: the environment says more.
func asleep(t *testing.T) time.Duration { return timeBy(t, "BENCHPROOF_SLEEP", 3*time.Second) }

// A phone sleeps with the page open: its scripts stand still, and its connections are gone without a
// word. Meanwhile the bench goes on. Awake, the page has all that happened, and its strip too.
func TestASleepLosesNothing(t *testing.T) {
	t.Parallel()
	chromium.Allow(t, asleep(t))
	d := own(t, "")
	w := newWay(t, d.address)
	tab, awake := chromium.Open(t, w.url("/")), chromium.Open(t, "about:blank")
	tab.Forgive(unanswered)
	upTo(t, tab, d.latest(t))
	tab.Shows(".headline", soon, "main live")

	tab.Do(`let was = performance.now(); rig.stood = 0;
		setInterval(() => { const now = performance.now(); rig.stood = Math.max(rig.stood, now - was); was = now; }, 50);`)

	tab.Sleeps(true)
	w.forgets()
	d.happens(t, "aid first")
	awake.Passes(asleep(t))
	missed := d.happens(t, "aid fourth")
	tab.Sleeps(false)

	woke := time.Now()
	tab.Shows(".headline", soon, "main live", "HOLD-COURSE")
	t.Logf("awake behind %v, it shows the present after %v", asleep(t), time.Since(woke).Round(time.Millisecond))
	upTo(t, tab, missed)
	d.lacksNothing(t, tab)
	tab.Holds(fmt.Sprintf("rig.stood >= %d", asleep(t).Milliseconds()), soon) // it did sleep
}

// A connection that died without a word is given up, and another one is tried.
func TestAConnectionThatDiesWithoutAWord(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *browser.Browser) {
		d := own(t, "")
		w := newWay(t, d.address)
		tab := b.Open(t, w.url("/"))
		tab.Forgive(unanswered)
		tab.Shows(".headline", soon, "main live")
		w.forgets()
		tab.Shows("header", soon, "has not answered since")
		missed := d.happens(t, "aid first")
		tab.Shows(".headline", soon, "main live", "PLAIN")
		upTo(t, tab, missed)
		d.lacksNothing(t, tab)
	})
}

// Where another session is served in place of the one that a page shows, with fewer events, the page
// begins anew with that.
func TestAnotherSessionTakesItsPlace(t *testing.T) {
	t.Parallel()
	d := own(t, "")
	d.happens(t, "aid first")
	tab := chromium.Open(t, d.url("/"))
	tab.Forgive(unanswered + "|400")
	tab.Shows(".headline", soon, "main live", "PLAIN")
	tab.Do("window.old = true")
	d.end(os.Interrupt)
	d.session += "-next"
	require.NoError(t, d.start())
	tab.Holds("!window.old && rig.shows('.headline', ['main live'])", soon)
}

// Two phones look at once, one with the token and one without: both show what is so; one leads the drill, and
// the other follows it and leads nothing.
func TestTwoPhones(t *testing.T) {
	t.Parallel()
	d := own(t, "")
	leads, looks := allowed(t, chromium, d, "#drill"), chromium.Open(t, d.url("/#drill"))
	begins(t, leads, d, "gain")
	confirms(leads)
	looks.Shows("main", soon, "gain")
	for _, button := range []string{"=Done", "=End drill", "=It is so: go on here"} {
		var offered bool
		looks.Eval("!!rig.find('"+button+"')", &offered)
		assert.False(t, offered, "who only looks is offered %s", button)
	}
	follows(t, leads, d, "none", func(string) {})
	leads.Shows("main", soon, "Drill gain finished")
	for _, each := range []*browser.Tab{leads, looks} {
		each.Shows(".headline", soon, "main live", "DAMPING", "gain 148")
		upTo(t, each, d.latest(t))
		d.lacksNothing(t, each)
	}
	assert.Empty(t, looks.Spoken(), "who only looks hears nothing unless it is wanted")
}

// An event that was judged, and is recorded only when a page is open already, comes into that page.
func TestWhatIsRecordedLate(t *testing.T) {
	t.Parallel()
	m := newMoving(t)
	m.judged.Store(2)
	tab := chromium.Open(t, m.url)
	tab.Forgive("404 \\(Not Found\\)")
	tab.Holds("rig.heard.some((l) => l.includes('gust'))", soon)
	m.mark(t, 2, "late")
	tab.Holds("rig.heard.some((l) => l.includes('late'))", soon)
	assert.Len(t, lines(t, tab), 2)
}

//go:build outside && linux

package browser_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Topics of the guide, with tables, pictures and long lines, can be read by everybody, light and dark.
func TestTheGuideIsAccessible(t *testing.T) {
	t.Parallel()
	tab := chromium.Open(t, watching.url("/guide"))
	for i, topic := range []string{"", "/first-hour", "/wiring", "/events", "/glossary"} {
		tab.Go(watching.url("/guide" + topic))
		tab.Dark(i%2 == 0)
		assert.Empty(t, tab.Offences(""), topic)
		var wide []string
		tab.Eval("rig.wide()", &wide)
		assert.Empty(t, wide, "%s runs over to the right on a phone", topic)
	}
}

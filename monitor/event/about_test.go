package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

func TestWhatAnEventIsAbout(t *testing.T) {
	assert.Equal(t, "tap:main", event.AboutTap.Called("main"))
	assert.Equal(t, "output:3", event.AboutOutput.Numbered(3))
	name, ok := event.AboutTap.Name("tap:main")
	assert.True(t, ok)
	assert.Equal(t, "main", name)
	_, ok = event.AboutTap.Name("switch:main")
	assert.False(t, ok)
	number, ok := event.AboutOutput.Number("output:12")
	assert.True(t, ok)
	assert.Equal(t, 12, number)
	for _, other := range []string{"tap:12", "output:x", "session"} {
		_, ok = event.AboutOutput.Number(other)
		assert.False(t, ok, other)
	}
}

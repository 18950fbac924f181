package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWhatStandsBelowIsTakenAway(t *testing.T) {
	const up = clearAbove
	var b below
	assert.Equal(t, clearLine, b.clear(80), "nothing stands there")
	assert.Equal(t, "one", b.draw([]string{"one"}))
	assert.Equal(t, clearLine, b.clear(80))
	assert.Equal(t, "a\nb\n\x1b[32mc\x1b[0m", b.draw([]string{"a", "b", "\x1b[32mc\x1b[0m"}))
	assert.Equal(t, clearLine+up+up, b.clear(80))
	assert.Equal(t, clearLine, b.clear(80), "once")
	b.draw([]string{"12345678", "", "1234"})
	assert.Equal(t, clearLine+up+up+up, b.clear(4), "the terminal became narrower: eight columns are two rows")
}

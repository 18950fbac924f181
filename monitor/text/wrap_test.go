package text_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/text"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", ""},
		{"one", "  one"},
		{"one two three", "  one two\n  three"},
		{"  one\ntwo  ", "  one two"},
		{"µµµ µµµµ", "  µµµ µµµµ"},
		{"µµµ µµµµµ", "  µµµ\n  µµµµµ"},
		{"a-very-long-word so", "  a-very-long-word\n  so"},
	} {
		assert.Equal(t, c.want, text.Wrap(c.text, 10, "  "))
	}
}

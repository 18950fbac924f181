package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/view"
)

func TestHang(t *testing.T) {
	for _, c := range []struct {
		name, prefix, sentence string
		columns                int
		want                   string
	}{
		{"no terminal", "1  ", "a sentence as long as it is", 0, "1  a sentence as long as it is"},
		{"below itself", "1  ", "one two three four", 12, "1  one two\n   three\n   four"},
		{"a number stays with its unit", "", "it came 5 ms late", 9, "it came\n5 ms late"},
		{"what has no unit does not", "", "it came 5 times", 9, "it came 5\ntimes"},
		{"columns, not bytes", "µ→ ", "µµ →→ µµ →→", 8, "µ→ µµ →→\n   µµ →→"},
		{"a word longer than the line", "1 ", "see /dev/serial/by-id/x now", 10, "1 see\n  /dev/serial/by-id/x\n  now"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, view.Hang(c.prefix, c.sentence, c.columns)) })
	}
}

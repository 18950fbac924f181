package text_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/text"
)

func TestTimes(t *testing.T) {
	for n, want := range map[int64]string{0: "never", 1: "once", 2: "twice", 3: "3 times", 12: "12 times"} {
		assert.Equal(t, want, text.Times(n))
		assert.Equal(t, want, text.Times(int(n)))
	}
}

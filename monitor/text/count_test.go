package text_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/text"
)

func TestCount(t *testing.T) {
	for n, want := range map[int64]string{
		0: "0", 999: "999", 1000: "1000", 9999: "9999", 10_000: "10 000", 999_999: "999 999", 1_000_000: "1 000 000", 33_696_000: "33 696 000",
		math.MaxInt64: "9 223 372 036 854 775 807",
	} {
		assert.Equal(t, want, strings.ReplaceAll(text.Count(n), "\u00a0", " "))
	}
}

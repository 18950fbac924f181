package text_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/text"
)

func TestNumbers(t *testing.T) {
	for want, list := range map[string][]int{
		"": nil, "5": {5}, "5, 6": {5, 6}, "5 to 7": {5, 6, 7}, "1, 5, 6, 8 to 18": {1, 5, 6, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18}, "1 to 3, 9": {1, 2, 3, 9},
	} {
		assert.Equal(t, want, text.Numbers(list))
	}
}

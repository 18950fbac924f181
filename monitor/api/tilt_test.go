package api

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A batch is whole sentences, few enough and short enough; what they say is judged elsewhere.
func TestBatchesOfSentences(t *testing.T) {
	const one = "$PBTI,1,phone,0,R*00\r\n"
	for text, want := range map[string]string{
		one:                                    "",
		strings.Repeat(one, 64):                "",
		strings.Repeat(one, 65):                "65 sentences",
		"":                                     "does not end",
		one + "$PBTA":                          "does not end",
		"$" + strings.Repeat("a", 79) + "\r\n": "",
		"$" + strings.Repeat("a", 80) + "\r\n": "of 83 characters",
		"PBTA\r\n":                             "no sentence",
		"$PB\x00\r\n":                          "no sentence",
		one + "\r\n":                           "no sentence",
		"$PBTÄ\r\n":                            "no sentence",
	} {
		err := checkSentences(text)
		if want == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, want)
		}
	}
}

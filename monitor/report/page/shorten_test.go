package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestShorten(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want string
	}{
		{"", 5, ""},
		{"short", 5, "short"},
		{"one. two; three, four", 12, "one. two …"},
		{"one two three", 9, "one two …"},
		{"a very. long sentence goes on", 20, "a very. long …"},
		{"µµµµµµ", 4, "µµµµ…"},
	} {
		assert.Equal(t, c.want, shorten(c.text, c.most), c.text)
	}
}

func TestInBrief(t *testing.T) {
	for text, want := range map[string]string{
		"Not heard: what it sends is unknown.": "Not heard.",
		"Seen once only.":                      "Seen once only.",
		"Tried early; later may differ. Again": "Tried early; later may differ.",
		"No end":                               "No end.",
	} {
		assert.Equal(t, want, inBrief(text))
	}
}

func TestWithoutIDs(t *testing.T) {
	ids := []string{"failsafe/flag", "order/aileron"}
	assert.Equal(t, "none came", withoutIDs("none came; failsafe/flag says what to do", ids))
	assert.Equal(t, "it went 3/4; and 1/2 back", withoutIDs("it went 3/4; and 1/2 back", ids))
}

func TestCapitalAndStop(t *testing.T) {
	assert.Equal(t, "Über.", stop(capital("über")))
	assert.Equal(t, "A …", stop(capital("a …")))
	assert.Empty(t, stop(capital("")))
}

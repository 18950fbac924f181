package api_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhoFollowsADrill(t *testing.T) {
	r := start(t, nil)
	for by, want := range map[string]string{
		"": "", "Ann": "", strings.Repeat("ö", 40): "",
		strings.Repeat("ö", 41):   "got 41 characters, want at most 40",
		strings.Repeat("x", 3000): "got 3000 characters, want at most 40",
		`Ann\u001b[2J`:            "control characters",
	} {
		got := r.ask(t, "POST", "/api/drill", fmt.Sprintf(`{"drill":"mode","do":"begin","by":"%s"}`, by), bearer, asJSON)
		if want == "" {
			require.Equal(t, 202, got.code, by)
			<-r.put
			continue
		}
		require.Equal(t, 422, got.code, by)
		assert.Contains(t, sentence(t, got), want)
	}
	assert.Empty(t, r.put)
}

// The model's name is a stranger's, where a session came by mail.
func TestTheIndexShowsWhatActs(t *testing.T) {
	r := start(t, nil)
	now := well()
	now.Model = "a\u202eb<i>\x1b[2J"
	r.now.Store(&now)
	assert.Contains(t, r.get(t, "/api").body, `<h1>benchproof: a\u202eb&lt;i&gt;\u001b[2J</h1>`)
}

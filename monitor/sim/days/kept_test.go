package days_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/days"
)

// kept is a story that once failed. It is kept as it was told shortest, since what a seed means
// changes with what may happen on a day.
type kept struct {
	Why   string     `json:"why"` // it failed
	Story days.Story `json:"story"`
}

func readKept(t *testing.T, file string) (list []kept) {
	text, err := os.ReadFile("testdata/" + file)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &list))
	return list
}

// What failed once fails no more.
func TestKeptDays(t *testing.T) {
	for _, k := range readKept(t, "kept.json") {
		t.Run(k.Why, func(t *testing.T) {
			_, err := days.Play(&k.Story)
			require.NoError(t, err, "%v", &k.Story)
		})
	}
}

package monitor_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/text"
)

// answersFile holds what a builder reads about each kind of receiver, in both rounds
// of the failsafe drill, as it was when someone last read it. BENCHPROOF_REWRITE=1
// writes it anew.
const answersFile = "testdata/answers.txt"

func TestTheAnswerForEachReceiver(t *testing.T) {
	kinds := script.Receivers()
	answers := make([]string, len(kinds))
	t.Run("kinds", func(t *testing.T) {
		for i, kind := range kinds {
			t.Run(kind.Name, func(t *testing.T) {
				t.Parallel()
				answers[i] = answersFor(t, kind)
			})
		}
	})
	got := strings.Join(answers, "\n\n")
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile(answersFile, []byte(got), 0o644))
	}
	want, err := os.ReadFile(answersFile)
	require.NoError(t, err, "BENCHPROOF_REWRITE=1 writes it")
	require.Equal(t, string(want), got)
}

func answersFor(t *testing.T, kind script.ReceiverKind) string {
	sh := starter(t)
	losses, _ := measure(t, sh, kind.Setup, 1)
	require.NotEmpty(t, losses)
	words := kind.Name + "\n" + kind.About + "\n"
	for i := range losses {
		words += fmt.Sprintf("\n  round %d\n%s\n", i+1, text.Wrap(claim.LossSummary(sh, &losses[i]), 100, "    "))
	}
	return words
}

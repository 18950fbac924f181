package world_test

import (
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const (
	us     = int64(time.Microsecond)
	ms     = int64(time.Millisecond)
	second = int64(time.Second)
	packet = 9 * ms
)

// with puts words in the place of the lone % of a script.
func with(text, words string) string { return strings.Replace(text, "%\n", words+"\n", 1) }

package script_test

import (
	"testing"
	"time"

	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const (
	ms     = int64(time.Millisecond)
	second = int64(time.Second)
	packet = 9 * ms
)

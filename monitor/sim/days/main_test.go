package days_test

import (
	"os"
	"runtime/debug"
	"testing"
)

// garbage is how much a day may leave, per cent of what it keeps, before it is collected: a day keeps
// little and leaves much, and half of its time went there.
const garbage = 400

func TestMain(m *testing.M) {
	debug.SetGCPercent(garbage)
	os.Exit(m.Run())
}

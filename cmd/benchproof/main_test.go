package main

import (
	"os"
	"testing"

	"go.uber.org/goleak"
)

// asProgram has this test's own file be the program, for tests that kill it.
const asProgram = "BENCHPROOF_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		os.Exit(0)
	}
	goleak.VerifyTestMain(m)
}

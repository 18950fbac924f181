//go:build !race

package monitor_test

// hands are how many each sitting is made with, unless the environment says
// otherwise.
const hands = 3

//go:build race

package monitor_test

// hands are how many each sitting is made with, unless the environment says
// otherwise: under the race detector all takes ten times as long.
const hands = 1

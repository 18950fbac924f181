//go:build race

package session

// fewCuts is how many seeds of power cuts are played: under the race detector, which slows
// them down and finds nothing where no goroutine is started, a handful.
const fewCuts = 20

//go:build !race

package session

// fewCuts is how many seeds of power cuts are played.
const fewCuts = 300

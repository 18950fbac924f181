package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A replay tells where judgement failed, but not for every frame of a day.
func TestAReplayTellsWhereJudgementFailed(t *testing.T) {
	var talk strings.Builder
	tell := faultPrinter(&talk)
	for range 100 {
		tell(&engine.InternalFault{At: unit.Time(unit.Second), Event: 3, FaultData: event.FaultData{Input: "bytes",
			Fault: "out of range"}, Stack: []byte("watch.go:17\n")})
	}
	assert.Equal(t, 16,
		strings.Count(talk.String(), "benchproof: judgement failed at 1000000000 ns (event 3), at an input of kind bytes: "+
			"out of range\nwatch.go:17\n"))
}

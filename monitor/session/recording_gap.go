package session

import (
	"encoding/json"

	"benchproof.example/monitor/event"
)

// gapBegin is the data of the input with which a recording gap begins.
func gapBegin(why string) []byte {
	data, _ := json.Marshal(event.RecordingGapInput{Why: why})
	return data
}

// gapEnd is the data of the input that ends one: how many inputs were not recorded, and
// the number of the latest event.
func gapEnd(why string, inputs, seq int64) []byte {
	data, _ := json.Marshal(event.RecordingGapInput{Ended: true, Why: why, Inputs: inputs, Seq: seq + 1})
	return data
}

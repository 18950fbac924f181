package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/event"
)

func TestSentencesOfAPhoneTurnedRound(t *testing.T) {
	for says, r := range map[string]attitude.Round{
		"phone: turned half round and back, the phone is off by 0.8° itself (± 0.2°), which is taken off; where it lies, the attitude for flying has the " +
			"nose up by 2.5° and the left wing up by 1°": {BiasCdeg: 80, DoubtCdeg: 15, PitchCdeg: 250, RollCdeg: 100},
		"phone: the phone's own bias is not known, and stays in the doubt: it was lifted": {Why: "it was lifted"},
	} {
		assert.Equal(t, says, event.Sentence(&event.Event{Kind: event.PhoneTurned, About: "tap:phone", Data: event.PhoneTurnedData{Round: r}}))
	}
}

// The sentence about a level says what became of the bias of the phone that felt the angles.
func TestALevelSaysWhatBecameOfTheBias(t *testing.T) {
	for says, d := range map[string]event.LevelMeasuredData{
		"":                              {},
		"its own bias is in that doubt": {By: event.RestFelt},
		"is taken off, to within 0.1°":  {By: event.RestFelt, BiasWithinMDeg: 130},
	} {
		assert.Contains(t, d.BiasText(), says)
		assert.Equal(t, says == "", d.BiasText() == "")
	}
}

package script

import (
	"fmt"

	"benchproof.example/monitor/sim/world"
)

// The words of choices, each list in the order of its values.
var (
	axisWords     = wordsOf(world.Roll, world.Pitch, world.Yaw)
	gyroWords     = wordsOf(world.GyroOff, world.GyroRate, world.GyroLevel, world.GyroCourse)
	leadLossWords = wordsOf(world.LeadFollows, world.LeadStops, world.LeadHolds)
	secondWords   = wordsOf(world.SecondFollows, world.SecondHolds, world.SecondRests, world.SecondMoves)
	onLossWords   = wordsOf(world.LossPreset, world.LossHold, world.LossSilent)
	wakesWords    = []string{world.LossPreset: "presets", world.LossHold: "neutral", world.LossSilent: "silent"}
	footerWords   = []string{"classic", "slots"}
	flagSets      = []world.FlagSet{world.BothFlags, world.LostFlag, world.FailsafeFlag, world.NoFlags}
	flagWords     = wordsOf(flagSets...)
)

func wordsOf[T fmt.Stringer](values ...T) []string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = v.String()
	}
	return words
}

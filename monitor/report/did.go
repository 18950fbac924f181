package report

import (
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
)

// ChannelLossText is what one channel did in a loss, in a few words.
func ChannelLossText(c *fact.LossChannel) string {
	switch c.Class {
	case fact.LossPreset:
		if c.HeldNS > 100*fact.Millisecond {
			return "went to a preset after holding for " + say.FormatSpan(c.HeldNS)
		}
		return "went to a preset"
	case fact.LossHold:
		return "HELD its last value"
	case fact.LossSilent:
		return "fell silent"
	case fact.LossMoving:
		return "went on moving"
	case fact.LossUnderWay:
		return "was on its way when this ended"
	case fact.LossUnclear:
		return "stayed: " + say.PresetOrHold
	}
	return string(c.Class)
}

// ReceiverLossText is what the receiver did in a loss, all channels taken together.
func ReceiverLossText(c fact.LossClass) string {
	switch c {
	case fact.LossPreset:
		return "went to presets"
	case fact.LossHold:
		return "HELD its last values"
	case fact.LossSilent:
		return "fell silent"
	case fact.LossMixed:
		return "went to presets on some channels and held others"
	case fact.LossMoving:
		return "values went on moving"
	case fact.LossUnderWay:
		return "was on its way when this ended"
	case fact.LossNone:
		return "nothing was lost"
	}
	return "could not be told"
}

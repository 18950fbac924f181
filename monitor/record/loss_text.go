package record

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// ChannelLossText is what one channel did in a loss, in a few words.
func ChannelLossText(c *event.LossChannel) string {
	switch c.Class {
	case event.LossPreset:
		if c.HeldNS > 100*unit.Millisecond {
			return "went to a preset after holding for " + unit.FormatDuration(c.HeldNS)
		}
		return "went to a preset"
	case event.LossHold:
		return "HELD its last value"
	case event.LossSilent:
		return "fell silent"
	case event.LossMoving:
		return "went on moving"
	case event.LossUnderWay:
		return "was on its way when this ended"
	case event.LossUnclear:
		return "stayed: " + text.PresetOrHold
	}
	return string(c.Class)
}

// ReceiverLossText is what the receiver did in a loss, all channels taken together.
func ReceiverLossText(c event.LossClass) string {
	switch c {
	case event.LossPreset:
		return "went to presets"
	case event.LossHold:
		return "HELD its last values"
	case event.LossSilent:
		return "fell silent"
	case event.LossMixed:
		return "went to presets on some channels and held others"
	case event.LossMoving:
		return "values went on moving"
	case event.LossUnderWay:
		return "was on its way when this ended"
	case event.LossNone:
		return "nothing was lost"
	}
	return "could not be told"
}

package sheet

import (
	"fmt"

	"benchproof.example/decode/servobus"
)

// Heartbeat is a slow sawtooth that the transmitter sends on a spare channel.
// It tells a link that lives from one that is held: standing still is a fault.
type Heartbeat struct {
	Channel int // 1..16
}

// Link bounds the radio link.
type Link struct {
	MissedAtMost int64 // parts per million of frames flagged as not heard
}

func (r *reader) heartbeat(n *node) {
	if n == nil {
		return
	}
	channel := r.record(n, "the heartbeat", "channel").need("channel", "16")
	number, ok := r.whole(channel, "the number of a spare channel", 1, servobus.Channels)
	if !ok {
		return
	}
	if c, taken := r.sheet.Channel(number); taken {
		r.refuse(channel, fmt.Sprintf("channel %d, which the sheet names %s", number, c.Name), "a channel that nothing else uses")
	}
	r.sheet.Heartbeat = &Heartbeat{number}
}

func (r *reader) link(n *node) {
	if n == nil {
		return
	}
	const all = 1_000_000
	missed := r.record(n, "the link", "missed_at_most").need("missed_at_most", `"0.1 %"`)
	if share, ok := r.between(missed, shares, 0, all, `a share from "0 %" to "100 %"`); ok {
		r.sheet.Link = &Link{share}
	}
}

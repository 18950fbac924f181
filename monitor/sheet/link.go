package sheet

import (
	"fmt"

	"benchproof.example/decode/bus"
)

// Heartbeat is a slow sawtooth that the transmitter sends on a spare channel.
// It tells a link that lives from one that is held: standing still is a fault.
type Heartbeat struct {
	Channel int // 1 to Protocol.Channels
}

// Link bounds the radio link.
type Link struct {
	MissedAtMost int64 // parts per million of frames flagged as not heard
}

func (r *reader) heartbeat(n *node) {
	if n == nil {
		return
	}
	channel := r.record(n, "the heartbeat").get("channel")
	number, ok := r.wholeBetween(channel, 1, int64(r.sheet.Protocol.Channels))
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
	if share, ok := r.missedShare(r.record(n, "the link").get("missed_at_most"), "the section link left out"); ok {
		r.sheet.Link = &Link{share}
	}
}

// missedShare reads a share of missed frames; without says what would be right where no
// frame is flagged as missed.
func (r *reader) missedShare(n *node, without string) (ppm int64, ok bool) {
	const all = 1_000_000
	if n != nil && r.sheet.Protocol.Flags&bus.Lost == 0 {
		r.refuse(n, "a share of missed frames, which a "+r.sheet.Protocol.Title+" does not flag", without)
		return 0, false
	}
	return r.between(n, shares, 0, all, `a share from "0 %" to "100 %"`)
}

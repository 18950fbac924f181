package world

// presetSender sends a receiver its presets from time to time: those that live in the
// transmitter (common practice).
type presetSender struct {
	every   int64 // ns, 0: it teaches nothing
	since   int64 // when the transmitter began to send
	sending bool
	sends   int64 // since then
}

// teaches says whether a packet has the presets with it. It is asked for every
// packet, sent or not.
func (t *presetSender) teaches(now int64, sent bool) bool {
	if !sent || t.every == 0 {
		t.sending = false
		return false
	}
	if !t.sending {
		t.sending, t.since, t.sends = true, now, 0
	}
	due := (now - t.since) / t.every
	fresh := due > t.sends
	t.sends = due
	return fresh
}

package main

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
)

// tilts takes the sentences of a phone for its tap; nil where no phone is one.
func (s *liveSession) tilts(live *session.Live) func(sentences []byte) (taken bool) {
	for i, t := range s.taps {
		if t.kind == "tilt" {
			return func(sentences []byte) bool {
				_, taken := live.Seq.Put(uint8(i+1), event.InputBytes, sentences)
				return taken
			}
		}
	}
	return nil
}

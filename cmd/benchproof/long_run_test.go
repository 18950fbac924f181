package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/session"
)

func TestRoomSentence(t *testing.T) {
	const takes = "a day of recording takes about 0.36 GB, and up to 0.60 GB beside it until that is packed"
	r := session.Room{Day: 360_000_000, Open: 600_000_000}
	for free, want := range map[int64]string{
		-1:                takes + "; how much room the disk has is not known here",
		900_000_000:       takes + "; THE DISK HAS ROOM FOR LESS THAN A DAY, 0.90 GB: when it is full, watching goes on and the recording stops",
		20_000_000_000:    takes + "; the disk has 20 GB, room for 53 days",
		2_000_000_000_000: takes + "; the disk has 2000 GB, room for years",
	} {
		r.Free = free
		assert.Equal(t, want, roomSentence(r))
	}
}

package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
	r.Free = 20_000_000_000
	for most, want := range map[int64]string{
		900_000_000:    "; it may take 0.90 GB, room for LESS THAN A DAY: then watching goes on and the recording stops",
		1_000_000_000:  "; it may take 1.00 GB, room for a day: then watching goes on and the recording stops",
		10_000_000_000: "; it may take 10 GB, room for 26 days: then watching goes on and the recording stops",
		30_000_000_000: "; the disk has 20 GB, room for 53 days",
	} {
		r.Most = most
		assert.Equal(t, takes+want, roomSentence(r))
	}
}

func TestRoomOfARecording(t *testing.T) {
	for text, want := range map[string]int64{"": 0, "20GB": 20_000_000_000, "1.5 GB": 1_500_000_000, "700MB": 700_000_000, "2TB": 2_000_000_000_000} {
		got, err := recordingRoom(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"20", "GB", "-1GB", "0GB", "20 gallons", "1e9GB", "9999999TB"} {
		_, err := recordingRoom(text)
		require.ErrorContains(t, err, "want a size such as 20GB or 700MB", text)
	}
}

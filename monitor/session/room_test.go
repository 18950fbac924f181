package session

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

func TestRoomFor(t *testing.T) {
	r := RoomFor(filepath.Join(t.TempDir(), "not", "there yet"), []event.TapName{{Kind: "bus"}, {Kind: "bus"}, {Kind: "pulses"}})
	assert.EqualValues(t, 2*dayOfBus+dayOfLeads, r.Day)
	assert.Positive(t, r.Free, "the disk that the folder will lie on")
}

func TestRoomDays(t *testing.T) {
	for want, r := range map[int64]Room{
		-1: {Day: 100, Open: 10, Free: -1}, 0: {Day: 100, Open: 10, Free: 109}, 1: {Day: 100, Open: 10, Free: 110}, 9: {Day: 100, Open: 10, Free: 1000},
	} {
		assert.Equal(t, want, r.Days())
	}
	assert.Zero(t, Room{Day: 100, Open: 10, Free: 5}.Days())
	assert.EqualValues(t, 2, Room{Day: 100, Open: 10, Free: 1000, Most: 250}.Days())
	assert.EqualValues(t, 1, Room{Day: 100, Open: 10, Free: 110, Most: 250}.Days(), "the disk has less")
}

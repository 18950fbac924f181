package session

import (
	"path/filepath"

	"benchproof.example/monitor/event"
)

// What a day of recording takes on the disk, in bytes, once its segments are packed
// (BenchmarkPack), and what the segment that is being written takes at most, with the packed
// one that comes of it.
const (
	dayOfBus   = 64_000_000
	dayOfLeads = 296_000_000 // eight of them
	openPart   = wholeSegment + wholeSegment/8
)

// Room is what a recording takes on a disk and what that disk has, in bytes.
type Room struct {
	Day  int64 // a day, packed
	Open int64 // beside it, at most, what is not packed yet
	Free int64 // -1: not known
	Most int64 // that the recording may take of it; 0: all
}

// RoomFor is what recording taps takes, and has, in a folder that need not be there yet.
func RoomFor(folder string, taps []event.TapName) Room {
	r := Room{Open: openPart, Free: -1}
	for _, t := range taps {
		if t.Kind == "pulses" {
			r.Day += dayOfLeads
		} else {
			r.Day += dayOfBus
		}
	}
	folder, err := filepath.Abs(folder)
	if err != nil {
		return r
	}
	for r.Free = space(folder); r.Free < 0 && filepath.Dir(folder) != folder; r.Free = space(folder) {
		folder = filepath.Dir(folder)
	}
	return r
}

// Days is for how many whole days the disk has room, -1 where that is not known.
func (r Room) Days() int64 {
	if r.Free < 0 || r.Day <= 0 {
		return -1
	}
	room := r.Free
	if r.Most > 0 {
		room = min(room, r.Most)
	}
	return max(0, room-r.Open) / r.Day
}

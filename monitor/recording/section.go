package recording

import (
	"encoding/binary"
	"fmt"

	"benchproof.example/monitor/unit"
)

// parseHeader reads a whole section header block. It is sound only when our
// comment is in it and unhurt.
func parseHeader(b []byte) (h header, why flaw) {
	if len(b) < sectionFixed+4 || binary.LittleEndian.Uint32(b[8:]) != orderMagic {
		return h, badSection
	}
	comment, found := options(b[sectionFixed : len(b)-4]).find(optionComment)
	if !found || !checkChecksum(comment, &h) || h.Recording < formatFirst {
		return h, badSection
	}
	return h, sound
}

// parseLink reads a whole interface block. It is sound only when our comment is
// in it and unhurt.
func parseLink(b []byte) (l link, why flaw) {
	if len(b) < interfaceFixed+4 || binary.LittleEndian.Uint16(b[8:]) != linkType {
		return l, badInterface
	}
	list := options(b[interfaceFixed : len(b)-4])
	unit, found := list.find(optionResolution)
	if !found || len(unit) != 1 || unit[0] != resolution {
		return l, badInterface
	}
	comment, found := list.find(optionComment)
	if !found || !checkChecksum(comment, &l) || l.Interface < 0 || l.Tap < 0 || l.Tap > 255 {
		return l, badInterface
	}
	return l, sound
}

// unknownTap stands for an interface whose description was lost.
const unknownTap = -1

// lostLinks is how many interfaces in a row may have been lost.
const lostLinks = 64

// sectionState is where the reader stands.
type sectionState struct {
	known bool
	hurt  bool // something in it was damaged
	start int64
	base  int64
	first int64   // number of its first input, -1 once it was read or if unknown
	taps  []int   // of each interface
	says  Section // as its header has it; empty if that was lost
}

// date gives the bench time of a stamp.
func (s *sectionState) date(stamp int64) (unit.Time, flaw) {
	at := unit.Time(stamp - s.base)
	if at < 0 || at != at.Truncate(unit.Microsecond) {
		return 0, badDate
	}
	return at, sound
}

// carries says whether a packet of the tap may stand on the interface. Where
// descriptions were lost, an interface without one may carry any tap.
func (s *sectionState) carries(id uint32, tap uint8) bool {
	if int64(id) < int64(len(s.taps)) {
		return s.taps[id] == int(tap) || s.taps[id] == unknownTap
	}
	return s.hurt && int64(id) < int64(len(s.taps)+lostLinks)
}

// learn notes the tap of an interface whose description was lost.
func (s *sectionState) learn(id uint32, tap uint8) { s.place(int(id), int(tap)) }

func (s *sectionState) place(id, tap int) {
	for len(s.taps) <= id {
		s.taps = append(s.taps, unknownTap)
	}
	s.taps[id] = tap
}

// add takes an interface. hole says that damage stands right before it, so that
// the interfaces, or the section header, before it may be lost.
func (s *sectionState) add(l *link, offset int64, hole bool) flaw {
	if s.known && l.Base == s.base && l.Interface == len(s.taps) {
		s.place(l.Interface, l.Tap)
		return sound
	}
	if !hole {
		return badInterface
	}
	if !s.known || l.Base != s.base || l.Interface < len(s.taps) {
		*s = sectionState{known: true, hurt: true, start: offset, base: l.Base, first: -1}
	}
	if l.Interface > len(s.taps)+lostLinks {
		return badInterface
	}
	s.place(l.Interface, l.Tap)
	return sound
}

// newer is the refusal of a format to come.
func (h *header) newer() error {
	return fmt.Errorf("%w: its format is %d, this program reads %d to %d; use the newer program", ErrNewer, h.Recording, formatFirst, formatNow)
}

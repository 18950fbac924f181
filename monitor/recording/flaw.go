package recording

// flaw is why a block is not believed. The zero value is sound.
type flaw uint8

const (
	sound flaw = iota
	nothingLeft
	badLength
	lengthsDiffer
	cutShort
	unknownBlock
	badOptions
	badSection
	badInterface
	badSizes
	noHash
	badHash
	noNumber
	badHeader
	datesDiffer
	unknownEvent
	noSection
	badDate
	tapsDiffer
	dateBack
	numberBack
	numberJumps
	badBundle
	badCheckpoint
	otherSession
	badPacking
)

var flawWords = [...]string{
	sound:         "sound",
	nothingLeft:   "nothing left",
	badLength:     "impossible block length",
	lengthsDiffer: "block lengths differ",
	cutShort:      "block cut short",
	unknownBlock:  "unknown block type",
	badOptions:    "options out of shape",
	badSection:    "section header damaged or not ours",
	badInterface:  "interface damaged or not ours",
	badSizes:      "packet lengths out of shape",
	noHash:        "packet hash missing",
	badHash:       "packet hash differs",
	noNumber:      "packet id missing",
	badHeader:     "serial header out of shape",
	datesDiffer:   "packet dates differ",
	unknownEvent:  "unknown event",
	noSection:     "packet without a section",
	badDate:       "date off the microsecond",
	tapsDiffer:    "interface and packet id name different taps",
	dateBack:      "date goes back",
	numberBack:    "input number goes back",
	numberJumps:   "input number jumps",
	badBundle:     "bundle of inputs out of shape",
	badCheckpoint: "checkpoint out of shape",
	otherSession:  "part of another session",
	badPacking:    "packed data damaged or cut short",
}

func (f flaw) String() string { return flawWords[f] }

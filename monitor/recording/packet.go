package recording

import (
	"cmp"
	"encoding/binary"
	"hash/crc32"

	"benchproof.example/monitor/event"
)

// packet is what a packet block says, by itself.
type packet struct {
	link   uint32 // interface
	stamp  int64  // Unix ns
	number int64
	tap    uint8
	form   form
	kind   event.InputKind // of an input
	data   []byte          // within the block
}

// form is what the data of a packet is.
type form uint8

const (
	formInput form = iota
	formBundle
	formPlainBundle
	formCheckpoint
)

// inputs is how many the packet has, as far as that shows at a glance.
func (p *packet) inputs() int64 {
	switch p.form {
	case formBundle, formPlainBundle:
		n, _ := binary.Uvarint(p.data)
		return int64(n)
	case formCheckpoint:
		return 0
	}
	return 1
}

// formOf reads the form from the event byte and the comment.
func formOf(happened byte, comment []byte) form {
	switch {
	case happened == eventStatus && startsWith(comment, bundleWord):
		return formBundle
	case happened == eventStatus && startsWith(comment, plainBundleWord):
		return formPlainBundle
	case happened == eventStatus && startsWith(comment, checkpointWord):
		return formCheckpoint
	}
	return formInput
}

// parse reads a whole packet block and checks all that needs no other block.
func (p *packet) parse(b []byte) flaw {
	if len(b) < minPacket {
		return badSizes
	}
	size := int64(binary.LittleEndian.Uint32(b[20:]))
	padded := (size + 3) &^ 3
	if size < headerLen || packetFixed+padded+4 > int64(len(b)) || int64(binary.LittleEndian.Uint32(b[24:])) != size {
		return badSizes
	}
	payload := b[packetFixed : packetFixed+size]
	comment, why := p.options(options(b[packetFixed+padded:len(b)-4]), payload)
	if why != sound {
		return why
	}
	p.link = binary.LittleEndian.Uint32(b[8:])
	p.stamp = int64(uint64(binary.LittleEndian.Uint32(b[12:]))<<32 | uint64(binary.LittleEndian.Uint32(b[16:])))
	return p.serial(payload, comment)
}

// options reads the packet id, checks the hash and gives the first comment.
func (p *packet) options(list options, payload []byte) (comment []byte, why flaw) {
	hashed, numbered := noHash, noNumber
	for {
		code, value, why := list.next()
		if why != sound {
			return nil, why
		}
		switch code {
		case optionComment:
			if comment == nil {
				comment = value
			}
		case optionHash:
			hashed = checkHash(value, payload)
		case optionPacketID:
			numbered = p.identify(value)
		case optionEnd:
			return comment, cmp.Or(hashed, numbered)
		}
	}
}

func checkHash(value, payload []byte) flaw {
	if len(value) != 5 || value[0] != hashCRC32 || binary.BigEndian.Uint32(value[1:]) != crc32.ChecksumIEEE(payload) {
		return badHash
	}
	return sound
}

func (p *packet) identify(value []byte) flaw {
	if len(value) != 8 {
		return noNumber
	}
	id := binary.LittleEndian.Uint64(value)
	p.number, p.tap = int64(id>>8), uint8(id)
	return sound
}

// serial reads the link type's header and what follows it.
func (p *packet) serial(payload, comment []byte) flaw {
	if payload[9] != 0 || payload[10] != 0 || payload[11] != 0 {
		return badHeader
	}
	seconds := int64(binary.BigEndian.Uint32(payload))
	micros := int64(binary.BigEndian.Uint32(payload[4:]))
	if p.stamp < 0 || micros >= 1e6 || p.stamp/1e3 != seconds*1e6+micros {
		return datesDiffer
	}
	p.data, p.form = payload[headerLen:], formOf(payload[8], comment)
	if p.form != formInput {
		return sound
	}
	kind, known := kindOf(payload[8], comment)
	if !known {
		return unknownEvent
	}
	p.kind = kind
	return sound
}

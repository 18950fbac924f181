package recording

import "encoding/binary"

// search goes on, byte by byte, to the next block that can be believed by
// itself, or to the end. It begins behind the byte where it is called.
func (r *Reader) search() {
	for {
		r.win.skip(1)
		b := r.win.ahead(minBlock)
		if len(b) < minBlock {
			r.win.skip(len(b))
			return
		}
		if r.believable(binary.LittleEndian.Uint32(b)) {
			return
		}
	}
}

// believable says whether a block of ours begins here. Blocks keep to multiples
// of four bytes within a section; a section may begin anywhere, since a writer
// may have appended it to a torn tail.
func (r *Reader) believable(kind uint32) bool {
	aligned := (r.win.offset-r.section.start)%4 == 0 || !r.section.known
	if kind != blockSection && (!aligned || kind != blockPacket && kind != blockInterface) {
		return false
	}
	b, why := r.win.block(0)
	if why != sound {
		return false
	}
	switch kind {
	case blockPacket:
		var p packet
		why = p.parse(b)
	case blockInterface:
		_, why = parseLink(b)
	case blockSection:
		_, why = parseHeader(b)
	}
	return why == sound
}

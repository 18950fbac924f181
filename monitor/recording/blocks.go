package recording

import (
	"encoding/binary"
	"runtime"
)

// blocks are whole blocks of pcapng, rendered and waiting to be written, and the one that
// is being rendered. The general library for them brings tables of every protocol of the
// internet: a tenth of the program. A test holds these three kinds to what it renders.
type blocks struct {
	b     []byte
	begun int // where the last block begins
}

func (h *blocks) begin(kind uint32) {
	h.begun = len(h.b)
	h.u32(kind)
	h.u32(0) // its length, see end
}

// end closes the options and the block: its length stands at both of its ends.
func (h *blocks) end() {
	h.u16(optionEnd)
	h.u16(0)
	length := uint32(len(h.b) - h.begun + 4)
	h.u32(length)
	binary.LittleEndian.PutUint32(h.b[h.begun+4:], length)
}

// section renders a section header. Its own length is left open, since it grows.
func (h *blocks) section(comment string) {
	h.begin(blockSection)
	h.u32(orderMagic)
	h.u16(1) // version 1.0
	h.u16(0)
	h.u32(0xFFFF_FFFF)
	h.u32(0xFFFF_FFFF)
	h.text(optionApplication, program)
	h.text(optionComment, comment)
	h.text(optionHardware, runtime.GOARCH)
	h.text(optionSystem, runtime.GOOS)
	h.end()
}

// link renders the description of an interface.
func (h *blocks) link(name, comment, description string) {
	h.begin(blockInterface)
	h.u16(linkType)
	h.u16(0)
	h.u32(0) // packets of any length
	h.text(optionName, name)
	h.text(optionComment, comment)
	h.text(optionDescription, description)
	h.option(optionResolution, 1)
	h.b = append(h.b, resolution, 0, 0, 0)
	h.end()
}

// beginPacket renders what stands before the data of a packet, which has size bytes and
// was taken at stamp, Unix ns.
func (h *blocks) beginPacket(link int, stamp int64, size int) {
	h.begin(blockPacket)
	h.u32(uint32(link))
	h.u32(uint32(stamp >> 32))
	h.u32(uint32(stamp))
	h.u32(uint32(size)) // kept
	h.u32(uint32(size)) // as it was
}

// endPacket renders what stands behind the data, which is padded by then.
func (h *blocks) endPacket(comment string, sum uint32, id uint64) {
	h.text(optionComment, comment)
	h.option(optionHash, 5)
	h.b = append(h.b, hashCRC32)
	h.b = binary.BigEndian.AppendUint32(h.b, sum)
	h.pad(5)
	h.option(optionPacketID, 8)
	h.b = binary.LittleEndian.AppendUint64(h.b, id)
	h.end()
}

// text renders an option, none for no text.
func (h *blocks) text(code uint16, text string) {
	if text == "" {
		return
	}
	h.option(code, len(text))
	h.b = append(h.b, text...)
	h.pad(len(text))
}

func (h *blocks) option(code uint16, size int) {
	h.u16(code)
	h.u16(uint16(size))
}

// pad fills up what has size bytes to whole words of four.
func (h *blocks) pad(size int) {
	h.b = append(h.b, make([]byte, -size&3)...)
}

func (h *blocks) u16(v uint16) { h.b = binary.LittleEndian.AppendUint16(h.b, v) }
func (h *blocks) u32(v uint32) { h.b = binary.LittleEndian.AppendUint32(h.b, v) }

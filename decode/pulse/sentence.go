package pulse

import (
	"strconv"

	"benchproof.example/decode/sentence"
)

// A board prints sentences (package sentence):
//
//	$PBPX,1F3,2,A0B1C2D3,BB8*hh    a pulse: number, output, rise, width
//	$PBPI,ref-8,500,8,0*hh         the board: name, tick in ns, outputs, pulses dropped
const (
	pulseKind = "PBPX"
	boardKind = "PBPI"
)

// AppendPulse appends the line of a pulse as a board prints it: its number, the
// output from 1, rise and width in ticks.
func AppendPulse(dst []byte, seq uint16, output int, rise, width uint32) []byte {
	begin := len(dst)
	dst = append(dst, "$"+pulseKind+","...)
	dst = sentence.AppendHex(dst, uint32(seq))
	dst = strconv.AppendInt(append(dst, ','), int64(output), 10)
	dst = sentence.AppendHex(append(dst, ','), rise)
	dst = sentence.AppendHex(append(dst, ','), width)
	return sentence.AppendEnd(dst, begin)
}

// AppendInfo appends the line that a board prints of itself.
func AppendInfo(dst []byte, b *BoardInfo) []byte {
	begin := len(dst)
	dst = append(dst, "$"+boardKind+","...)
	dst = append(dst, b.Name...)
	dst = strconv.AppendInt(append(dst, ','), b.Tick, 10)
	dst = strconv.AppendInt(append(dst, ','), int64(b.Outputs), 10)
	dst = strconv.AppendInt(append(dst, ','), b.Dropped, 10)
	return sentence.AppendEnd(dst, begin)
}

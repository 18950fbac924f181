package standin

import "fmt"

// pulseLineLen is about what a line on a pulse takes, characters.
const pulseLineLen = 32

// appendPulse puts the line on a pulse after dst: its number, the output from 1,
// and rise and width in ticks.
func appendPulse(dst []byte, seq uint16, output int, rise, width uint32) []byte {
	return appendSentence(dst, fmt.Appendf(nil, "PBPX,%X,%d,%X,%X", seq, output, rise, width))
}

// appendBoard puts the line on the board itself after dst: its name, its tick in
// ns, how many leads it has room for and how many pulses it could not tell.
func appendBoard(dst []byte, name string, tick int64, outputs int, dropped int64) []byte {
	return appendSentence(dst, fmt.Appendf(nil, "PBPI,%s,%d,%d,%d", name, tick, outputs, dropped))
}

// appendSentence frames a line as NMEA 0183 sentences are: a dollar sign, the
// text, an asterisk and the exclusive or of the text's characters.
func appendSentence(dst, text []byte) []byte {
	var sum byte
	for _, b := range text {
		sum ^= b
	}
	return fmt.Appendf(dst, "$%s*%02X\r\n", text, sum)
}

package recording

import "encoding/binary"

// options walks the options of a block. The list must close with an end.
type options []byte

func (o *options) next() (code uint16, value []byte, why flaw) {
	b := *o
	if len(b) < 4 {
		return 0, nil, badOptions
	}
	code = binary.LittleEndian.Uint16(b)
	n := int(binary.LittleEndian.Uint16(b[2:]))
	padded := 4 + (n+3)&^3
	if padded > len(b) || code == optionEnd && n != 0 {
		return 0, nil, badOptions
	}
	*o = b[padded:]
	return code, b[4 : 4+n], sound
}

// find gives the value of the first option with the code.
func (o options) find(code uint16) ([]byte, bool) {
	for {
		c, value, why := o.next()
		if why != sound || c == optionEnd {
			return nil, false
		}
		if c == code {
			return value, true
		}
	}
}

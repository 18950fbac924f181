package waveform

import (
	"bytes"
	"fmt"

	"benchproof.example/decode/edge"
)

// owe keeps a value until its code is read.
func (d *dump) owe(l edge.Level, what string) {
	d.owed = owed{level: l, what: what}
	d.state = code
}

// vector reads the value of a vector. One of a single bit, zeros before it left
// aside, is a level; of a wider one nothing is kept.
func (d *dump) vector(word []byte, at int) error {
	digits := word[1:]
	if len(digits) == 0 {
		return d.src.failed(at, "found a vector without a value; want digits right behind the b")
	}
	bit := bytes.TrimLeft(digits[:len(digits)-1], "0")
	l := begins[digits[len(digits)-1]]
	switch {
	case l >= space:
		return d.src.failed(at, "found the value "+shown(word)+"; want b and digits 0, 1, x or z")
	case len(bit) > 0:
		d.owe(unset, "a value of more than one bit")
	default:
		d.owe(edge.Level(l), "")
	}
	return nil
}

// vectorCode gives the value that is owed to the signal with the code.
func (d *dump) vectorCode(w *watch, word []byte, at int) error {
	var key uint64
	for _, c := range word {
		key = key<<8 | uint64(c)
	}
	line := d.codes.find(key, word)
	d.state = commands
	switch {
	case line == undeclared:
		return d.foreignCode(word, at)
	case line < 0:
		return nil
	case d.owed.level == unset:
		return d.src.failed(at, fmt.Sprintf("found %s for the code %s, which was declared with one bit; want 0, 1, x or z", d.owed.what, shown(word)))
	}
	w.level(line, d.tick, d.owed.level)
	return nil
}

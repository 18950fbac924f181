package recording

import (
	"cmp"
	"slices"
)

// transposition puts the data of many inputs so that bytes which stand at one place of inputs as long
// stand together: all first bytes, all second ones, and so on. Frames of a bus and lines of a board have
// fields at fixed places, most of which stay or change slowly. The shortest inputs come first, and of one
// length the bytes of a place in the order of the inputs:
//
//	$A1 $A2 $B3 hi   becomes   h i $$$ AAB 123
//
// Its zero value is that of no input.
type transposition struct {
	groups []sameLength
	last   int // the group that the input before went to
}

// sameLength are inputs of one length.
type sameLength struct {
	length int
	starts []int // where each begins among all data
}

func (t *transposition) reset() { t.groups, t.last = t.groups[:0], 0 }

// add is told of the next input, and where its data begins.
func (t *transposition) add(start, length int) {
	if t.last >= len(t.groups) || t.groups[t.last].length != length {
		t.last = slices.IndexFunc(t.groups, func(g sameLength) bool { return g.length == length })
	}
	if t.last < 0 {
		t.last = len(t.groups)
		t.groups = slices.Grow(t.groups, 1)[:t.last+1] // with the room that an earlier one there had
		t.groups[t.last].length, t.groups[t.last].starts = length, t.groups[t.last].starts[:0]
	}
	t.groups[t.last].starts = append(t.groups[t.last].starts, start)
}

// turn appends data as it stands transposed.
func (t *transposition) turn(dst, data []byte) []byte {
	t.each(func(_, places int, starts []int) {
		for place := range places {
			for _, start := range starts {
				dst = append(dst, data[start+place])
			}
		}
	})
	return dst
}

// turnBack fills data, as long, from what is transposed.
func (t *transposition) turnBack(data, transposed []byte) {
	t.each(func(from, places int, starts []int) {
		for i, start := range starts {
			for place := range places {
				data[start+place] = transposed[from+place*len(starts)+i]
			}
		}
	})
}

// each calls do for the inputs of each length, with where their bytes begin among those that are transposed.
func (t *transposition) each(do func(from, places int, starts []int)) {
	slices.SortFunc(t.groups, func(a, b sameLength) int { return cmp.Compare(a.length, b.length) })
	from := 0
	for i := range t.groups {
		g := &t.groups[i]
		do(from, g.length, g.starts)
		from += g.length * len(g.starts)
	}
}

package recording

import (
	"encoding/binary"
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A bundle is many inputs in one packet, as closed segments have them, in columns: what
// is alike stands together, which is what a compressor wants. Its packet stands on the
// bench's interface, bears date and number of the first input and the comment "transposed".
// The data behind the link type's header, all numbers as unsigned varints
// (encoding/binary):
//
//	inputs   how many
//	sorts    how many, then for each: length and word of the kind, tap, and 1 where its data is
//	         transposed, else 0
//	then the columns, each with its length in bytes before it:
//	sort     of each input, by its place in the list of sorts, one byte
//	date     µs after the input before, the first after the packet's
//	length   of each input's data
//	data     of all inputs of one sort, one behind the other or transposed (transpose.go); a column
//	         for each sort
//
// Format 2 transposed nothing. Its bundles have another word, and sorts
// without the number that says so.

const (
	bundleWord      = "transposed"
	plainBundleWord = "bundle"
)

// maxSorts is how many sorts of inputs one bundle may have.
const maxSorts = 256

// sort is a kind of input on a tap.
type sort struct {
	kind event.InputKind
	tap  uint8
}

// bundleBuilder gathers inputs. Its zero value is empty.
type bundleBuilder struct {
	first, last unit.Time
	inputs      int
	size        int // bytes of data
	sorts       []sort
	column      struct{ sort, date, length []byte }
	data        []sortData // of each sort
	turned      []byte
}

// sortData is the data of all inputs of one sort, one behind the other, and how it is transposed.
type sortData struct {
	bytes []byte
	transposition
}

// alike are the most lengths that inputs of one sort have which carry a frame or a line each. Where they
// are cut anywhere there are more, and what stands at one place of them has nothing in common.
const alike = 12

// worth is 1 where the data is to be transposed, else 0. What is little of all data of a bundle is not
// worth the time of who reads it.
func (d *sortData) worth(all int) uint64 {
	if len(d.groups) > alike || 8*len(d.bytes) < all {
		return 0
	}
	return 1
}

func (b *bundleBuilder) reset() {
	*b = bundleBuilder{sorts: b.sorts[:0], data: b.data[:0], column: b.column, turned: b.turned}
	b.column.sort, b.column.date, b.column.length = b.column.sort[:0], b.column.date[:0], b.column.length[:0]
}

// fits reports whether an input may be added: a bundle stays within a packet.
func (b *bundleBuilder) fits(in *event.Input) bool {
	const perInput = 1 + binary.MaxVarintLen64 + binary.MaxVarintLen32
	known := slices.Contains(b.sorts, sort{in.Kind, in.Tap})
	return (known || len(b.sorts) < maxSorts) && b.size+len(in.Data)+(b.inputs+1)*perInput < maxBundle
}

// maxBundle keeps the data of a packet below MaxData, sorts included.
const maxBundle = MaxData - maxSorts*16

func (b *bundleBuilder) add(in *event.Input) {
	if b.inputs == 0 {
		b.first, b.last = in.At, in.At
	}
	s := sort{in.Kind, in.Tap}
	at := slices.Index(b.sorts, s)
	if at < 0 {
		at = len(b.sorts)
		b.sorts = append(b.sorts, s)
		b.data = slices.Grow(b.data, 1)[:at+1] // with the room that an earlier one there had
		b.data[at].bytes = b.data[at].bytes[:0]
		b.data[at].reset()
	}
	b.column.sort = append(b.column.sort, byte(at))
	b.column.date = binary.AppendUvarint(b.column.date, uint64(in.At.Sub(b.last)/unit.Microsecond))
	b.column.length = binary.AppendUvarint(b.column.length, uint64(len(in.Data)))
	d := &b.data[at]
	d.add(len(d.bytes), len(in.Data))
	d.bytes = append(d.bytes, in.Data...)
	b.last = in.At
	b.inputs++
	b.size += len(in.Data)
}

// render appends the bundle.
func (b *bundleBuilder) render(dst []byte) []byte {
	dst = binary.AppendUvarint(dst, uint64(b.inputs))
	dst = binary.AppendUvarint(dst, uint64(len(b.sorts)))
	for i, s := range b.sorts {
		dst = appendColumn(dst, []byte(s.kind.String()))
		dst = binary.AppendUvarint(dst, uint64(s.tap))
		dst = binary.AppendUvarint(dst, b.data[i].worth(b.size))
	}
	dst = appendColumn(dst, b.column.sort)
	dst = appendColumn(dst, b.column.date)
	dst = appendColumn(dst, b.column.length)
	for i := range b.data {
		d := &b.data[i]
		if d.worth(b.size) == 0 {
			dst = appendColumn(dst, d.bytes)
			continue
		}
		b.turned = d.turn(b.turned[:0], d.bytes)
		dst = appendColumn(dst, b.turned)
	}
	return dst
}

func appendColumn(dst, column []byte) []byte {
	return append(binary.AppendUvarint(dst, uint64(len(column))), column...)
}

// bundle is one that is being read. All of it is checked before the first input is given.
type bundle struct {
	left   int // inputs
	at     unit.Time
	sorts  []sort
	column struct{ sort, date, length []byte }
	data   [][]byte // of each sort, what is left of it
	turns  []bool   // of each sort: its data is transposed
	places []transposition
	turned []byte // what data lies in where it was transposed
}

// parse reads a bundle whose first input has the date at.
func (b *bundle) parse(p []byte, at unit.Time, transposed bool) flaw {
	*b = bundle{at: at, sorts: b.sorts[:0], data: b.data[:0], turns: b.turns[:0], places: b.places[:0], turned: b.turned}
	var inputs, sorts uint64
	if !take(&p, &inputs) || !take(&p, &sorts) || inputs == 0 || inputs > maxBlock || sorts > maxSorts {
		return badBundle
	}
	if why := b.parseSorts(&p, int(sorts), transposed); why != sound {
		return why
	}
	if !b.parseColumns(&p) || len(p) != 0 || len(b.column.sort) != int(inputs) {
		return badBundle
	}
	if slices.Contains(b.turns, true) && !b.turnBack() {
		return badBundle
	}
	b.left = int(inputs)
	return b.check()
}

// turnBack has the data of each sort stand one behind the other.
func (b *bundle) turnBack() bool {
	sizes, ok := b.findPlaces()
	all := 0
	for i, d := range b.data {
		ok = ok && sizes[i] == len(d)
		all += len(d)
	}
	if !ok {
		return false
	}
	b.turned = slices.Grow(b.turned[:0], all)
	for i, d := range b.data {
		if !b.turns[i] {
			continue
		}
		begin := len(b.turned)
		b.turned = b.turned[:begin+len(d)]
		own := b.turned[begin:len(b.turned):len(b.turned)]
		b.places[i].turnBack(own, d)
		b.data[i] = own
	}
	return true
}

// findPlaces goes through the inputs for the length of each, and gives how much data each sort has.
func (b *bundle) findPlaces() (sizes []int, ok bool) {
	sizes = make([]int, len(b.sorts))
	b.places = slices.Grow(b.places, len(b.sorts))[:len(b.sorts)]
	for i := range b.places {
		b.places[i].reset()
	}
	lengths := b.column.length
	for _, which := range b.column.sort {
		var length uint64
		if int(which) >= len(b.sorts) || !take(&lengths, &length) || length > uint64(len(b.data[which])-sizes[which]) {
			return sizes, false
		}
		if b.turns[which] {
			b.places[which].add(sizes[which], int(length))
		}
		sizes[which] += int(length)
	}
	return sizes, true
}

// parseColumns takes the columns.
func (b *bundle) parseColumns(p *[]byte) bool {
	ok := takeColumn(p, &b.column.sort) && takeColumn(p, &b.column.date) && takeColumn(p, &b.column.length)
	for range b.sorts {
		var d []byte
		ok = ok && takeColumn(p, &d)
		b.data = append(b.data, d)
	}
	return ok
}

func (b *bundle) parseSorts(p *[]byte, n int, turns bool) flaw {
	for range n {
		var word []byte
		var tap, turned uint64
		if !takeColumn(p, &word) || !take(p, &tap) || tap > 255 || turns && (!take(p, &turned) || turned > 1) {
			return badBundle
		}
		b.turns = append(b.turns, turned == 1)
		kind := slices.Index(event.InputNames[:], string(word))
		if kind <= 0 {
			return unknownEvent
		}
		b.sorts = append(b.sorts, sort{event.InputKind(kind), uint8(tap)})
	}
	return sound
}

// check goes through a copy: every input must be there, and nothing else.
func (b *bundle) check() flaw {
	all := *b
	all.data = slices.Clone(b.data)
	var in event.Input
	for all.left > 0 {
		if !all.next(&in) {
			return badBundle
		}
	}
	rest := len(all.column.date) + len(all.column.length)
	for _, d := range all.data {
		rest += len(d)
	}
	if rest != 0 {
		return badBundle
	}
	return sound
}

// next gives an input; its Data lies within what was parsed.
func (b *bundle) next(in *event.Input) bool {
	var date, length uint64
	which := int(b.column.sort[0])
	if which >= len(b.sorts) || !take(&b.column.date, &date) || !take(&b.column.length, &length) || length > uint64(len(b.data[which])) {
		return false
	}
	b.column.sort = b.column.sort[1:]
	b.at = b.at.Add(unit.Duration(date) * unit.Microsecond)
	s := b.sorts[which]
	*in = event.Input{At: b.at, Tap: s.tap, Kind: s.kind, Data: b.data[which][:length:length]}
	b.data[which] = b.data[which][length:]
	b.left--
	return date <= maxStep
}

// maxStep is the longest time between two inputs of a bundle, µs: more than any bench
// lasts, and far from where dates overflow.
const maxStep = 1 << 50

func take(p *[]byte, n *uint64) bool {
	v, length := binary.Uvarint(*p)
	if length <= 0 {
		return false
	}
	*n, *p = v, (*p)[length:]
	return true
}

func takeColumn(p *[]byte, column *[]byte) bool {
	var n uint64
	if !take(p, &n) || n > uint64(len(*p)) {
		return false
	}
	*column, *p = (*p)[:n:n], (*p)[n:]
	return true
}

// bundleComment is what general tools show of a bundle.
func bundleComment(inputs int) string { return fmt.Sprintf("%s: %d inputs", bundleWord, inputs) }

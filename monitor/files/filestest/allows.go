package filestest

import (
	"fmt"
	"maps"
	"slices"
)

// sector is what a disk writes whole, bytes.
const sector = 512

// Allows says why a power cut at this moment can't have left these files, nil where AnyPowerCut may
// leave them: for images that something else made.
func (d *Disk) Allows(image map[string][]byte) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	names := slices.Sorted(maps.Keys(image))
	why := fmt.Errorf("never were these names alone there, or safe: %q", names)
	for _, kept := range append([]map[string]*content{d.safe}, d.renamed...) {
		if !slices.Equal(slices.Sorted(maps.Keys(kept)), names) {
			continue
		}
		other := slices.IndexFunc(names, func(name string) bool { return !kept[name].allows(image[name]) })
		if other < 0 {
			return nil
		}
		why = fmt.Errorf("no choice of its changes gives %s these %d bytes", names[other], len(image[names[other]]))
	}
	return why
}

// allows reports whether some of the changes, sector by sector, and a part of one make data of what
// is safe.
func (c *content) allows(data []byte) bool {
	changes := c.sectors()
	for torn := -1; torn < len(changes); torn++ {
		e := explanation{data: data, explained: make([]bool, len(data)), below: len(data), lengths: c.lengths()}
		if e.by(changes, torn, c.safe) {
			return true
		}
	}
	return false
}

// sectors are the changes, with each write cut where a sector ends. Before a file is cut short the
// rest of its last page is zeros, which may be all that is on the disk of it.
func (c *content) sectors() (list []change) {
	length := int64(len(c.safe))
	for _, ch := range c.changes {
		if zeros := ch.zeroed(length); len(zeros.data) > 0 {
			list = append(list, zeros.pieces(sector)...)
		}
		if length = max(length, ch.at+int64(len(ch.data))); ch.cut {
			length = ch.at
		}
		list = append(list, ch.pieces(sector)...)
	}
	return list
}

// explanation says of what changes left of a file which byte is whose, from the last change back:
// what a later one explains needs no earlier one.
type explanation struct {
	data      []byte
	explained []bool
	below     int     // nothing is to be explained from here on
	length    int     // that the changes give it
	cut       bool    // it was cut short: earlier changes make it no longer
	lengths   []int64 // that it had, one of which may be there before what it measures
}

// by explains data by changes, of which one may be torn.
func (e *explanation) by(changes []change, torn int, safe []byte) bool {
	for i := len(changes) - 1; i >= 0; i-- {
		ch := &changes[i]
		if !ch.cut {
			e.write(ch, i == torn)
			continue
		}
		came := *e
		came.explained = slices.Clone(e.explained)
		if came.cutShort(int(ch.at)) && came.by(changes[:i], torn, safe) {
			return true
		}
	}
	return e.bySafe(safe)
}

// write explains what it can by a write: more that is explained is never worse.
func (e *explanation) write(ch *change, torn bool) {
	at := int(ch.at)
	whole := len(ch.data)
	if !e.cut {
		whole = min(whole, len(e.data)-at)
	}
	n := 0
	for n < whole && (at+n >= e.below || e.explained[at+n] || e.data[at+n] == ch.data[n]) {
		n++
	}
	if n <= 0 || n < len(ch.data) && !torn {
		return
	}
	for i := at; i < min(at+n, e.below); i++ {
		e.explained[i] = true
	}
	if !e.cut {
		e.length = max(e.length, at+n)
	}
}

// cutShort explains what lies behind a new length: zeros, by whatever made the file longer again.
func (e *explanation) cutShort(to int) bool {
	for i := min(to, e.below); i < e.below; i++ {
		if !e.explained[i] && e.data[i] != 0 {
			return false
		}
	}
	if !e.cut {
		e.length, e.cut = max(e.length, to), true
	}
	e.below = min(e.below, to)
	return e.length <= len(e.data)
}

// bySafe explains the rest by what was safe, and holds the length to that of the file.
func (e *explanation) bySafe(safe []byte) bool {
	for i := range e.below {
		if was := i < len(safe) && e.data[i] == safe[i] || i >= len(safe) && e.data[i] == 0; !was && !e.explained[i] {
			return false
		}
	}
	if !e.cut {
		e.length = max(e.length, len(safe))
	}
	return e.length == len(e.data) || e.length < len(e.data) && slices.Contains(e.lengths, int64(len(e.data)))
}

package filestest

import (
	"maps"
	"math/rand/v2"
	"slices"
)

// page is what a file system writes at once, bytes: those of one write may reach the disk in
// any order.
const page = 4096

// AnyPowerCut is the disk as it may be found after a power cut at this moment, on a file system
// that promises less than that of PowerCut: of what a file was not synced with, each page of each
// write may be there or not, or some of its sectors; what lies before it and never came is zeros, and
// so is what a length measures that came alone.
func (d *Disk) AnyPowerCut(luck *rand.Rand) *Disk {
	return d.cut(luck, func(c *content) []byte { return c.anyOf(luck) })
}

// cut is the disk with the names that luck leaves and what left leaves of each file.
func (d *Disk) cut(luck *rand.Rand, left func(*content) []byte) *Disk {
	d.mu.Lock()
	defer d.mu.Unlock()
	after, kept := New(), d.safe
	if n := luck.IntN(len(d.renamed) + 1); n > 0 {
		kept = d.renamed[n-1]
	}
	for _, name := range slices.Sorted(maps.Keys(kept)) {
		data := left(kept[name])
		c := &content{name: name, data: data, safe: slices.Clone(data)}
		after.live[name], after.safe[name] = c, c
	}
	return after
}

// anyOf is what is safe and some of the changes, in pieces.
func (c *content) anyOf(luck *rand.Rand) []byte {
	var pieces []change
	for _, ch := range c.changes {
		pieces = append(pieces, ch.pieces(page)...)
	}
	often := []int{15, 50, 85, 100}[luck.IntN(4)] // per cent that reach the disk
	torn := luck.IntN(2*len(pieces) + 1)
	sectors := rand.New(rand.NewPCG(uint64(torn), uint64(often))) // apart: luck has the same for all else
	data := slices.Clone(c.safe)
	for i := range pieces {
		part := pieces[i]
		if luck.IntN(100) >= often {
			data = part.someSectors(data, sectors)
			continue
		}
		if i == torn && len(part.data) > 0 {
			part.data = part.data[:luck.IntN(len(part.data))]
		}
		data = part.apply(data)
	}
	if lengths := c.lengths(); len(lengths) > 0 && sectors.IntN(8) == 0 {
		data = append(data, make([]byte, max(0, lengths[sectors.IntN(len(lengths))]-int64(len(data))))...)
	}
	return data
}

// pieces are those of a write, cut at each multiple of size in the file; a new length is one.
func (c change) pieces(size int64) (list []change) {
	for !c.cut && c.at/size != (c.at+int64(len(c.data))-1)/size && len(c.data) > 0 {
		n := size - c.at%size
		list = append(list, change{at: c.at, data: c.data[:n]})
		c.at, c.data = c.at+n, c.data[n:]
	}
	return append(list, c)
}

// lengths are those that the file had since it was synced, page by page.
func (c *content) lengths() (list []int64) {
	length := int64(len(c.safe))
	for _, ch := range c.changes {
		for _, p := range ch.pieces(page) {
			if length = max(length, p.at+int64(len(p.data))); p.cut {
				length = p.at
			}
			list = append(list, length)
		}
	}
	return list
}

// someSectors applies, now and then, a part of what did not reach the disk: some sectors of a page,
// or the zeros before a new length.
func (c *change) someSectors(data []byte, luck *rand.Rand) []byte {
	if luck.IntN(50) > 0 {
		return data
	}
	part := *c
	if c.cut {
		part = c.zeroed(int64(len(data)))
	}
	for _, s := range part.pieces(sector) {
		if luck.IntN(2) == 0 {
			data = s.apply(data)
		}
	}
	return data
}

// zeroed is what a kernel writes before it cuts a file of this length short: zeros behind the new
// length, to the end of its page. It has no data where there is nothing to write.
func (c *change) zeroed(length int64) change {
	end := min(length, (c.at+page-1)/page*page)
	if !c.cut || end <= c.at {
		return change{at: min(c.at, length)}
	}
	return change{at: c.at, data: make([]byte, end-c.at)}
}

// Copy is the disk as a program finds it that comes after one which was killed at this moment:
// all that was written is there, and is no safer than it was.
func (d *Disk) Copy() *Disk {
	d.mu.Lock()
	defer d.mu.Unlock()
	after, copies := New(), map[*content]*content{}
	all := func(names map[string]*content) map[string]*content {
		copied := map[string]*content{}
		for name, c := range names {
			if copies[c] == nil {
				copies[c] = &content{name: c.name, data: slices.Clone(c.data), safe: slices.Clone(c.safe), changes: slices.Clone(c.changes)}
			}
			copied[name] = copies[c]
		}
		return copied
	}
	after.live, after.safe = all(d.live), all(d.safe)
	for _, names := range d.renamed {
		after.renamed = append(after.renamed, all(names))
	}
	return after
}

// Harm changes what a file has behind the back of all programs, as bad blocks or a hand do; what
// was not synced yet is as it was.
func (d *Disk) Harm(name string, harm func([]byte) []byte) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := d.live[name]
	if c == nil {
		return false
	}
	c.data, c.safe = harm(slices.Clone(c.data)), harm(slices.Clone(c.safe))
	return true
}

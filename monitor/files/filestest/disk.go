// Package filestest has a disk for tests, in memory, that takes package files at its
// word: what was not synced may be lost in a power cut, as a whole or from some byte on,
// and so may each name that was made, moved or removed. It can refuse, and it can be
// looked at between any two calls.
package filestest

import (
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"slices"
	"sync"

	"benchproof.example/monitor/files"
)

// Call is one call to the disk.
type Call struct {
	Op   string // "open", "create", "read", "write", "truncate", "sync", "rename", "remove", "names", "sync folder", "lock"
	Name string // of the file, as it is now; the new one of a rename
	Data []byte // that a write has
}

// Disk is one folder on a disk in memory. It may be used by several goroutines. A file's sync
// that Before refuses drops what was not synced: programs see it still, and no later sync
// makes it safe, as kernels do.
type Disk struct {
	// Before is asked before each call that can fail, and may wait or refuse; nil: all goes
	// well. Of a write that it refuses the disk takes the first Takes bytes.
	Before func(Call) error
	Takes  int

	// Lies has a "sync" or a "sync folder" return without having made anything safe: what a
	// program does that leaves it out. nil: none does.
	Lies func(Call) bool

	mu      sync.Mutex
	live    map[string]*content   // by name, as programs see it
	safe    map[string]*content   // by name, as of the folder's last sync
	renamed []map[string]*content // live after each name that was made, moved or removed since, in order
	locked  map[string]bool
}

// content is what a file has.
type content struct {
	name    string   // as programs see it
	data    []byte   // as programs see it
	safe    []byte   // as of its last sync
	changes []change // since then, in order
}

// change is a write or, with cut, a new length.
type change struct {
	at   int64
	data []byte
	cut  bool
}

// New makes an empty disk.
func New() *Disk {
	return &Disk{live: map[string]*content{}, safe: map[string]*content{}, locked: map[string]bool{}}
}

// Put lays a file on the disk, safe.
func (d *Disk) Put(name string, data []byte) {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := &content{name: name, data: slices.Clone(data), safe: slices.Clone(data)}
	d.live[name] = c
	d.safe, d.renamed = maps.Clone(d.live), nil
}

// Content is what a file has now, nil where there is none.
func (d *Disk) Content(name string) []byte {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := d.live[name]
	if c == nil {
		return nil
	}
	return append([]byte{}, c.data...)
}

// PowerCut is the disk as it may be found after a power cut at this moment. Of the names
// that were made, moved or removed since the folder's last sync the earlier ones hold, as
// on a file system with a journal; each file has a part of what it was not synced with:
// the earlier changes and the beginning of the next, whose end may be there as zeros, as on
// a file system that keeps lengths before what they measure.
func (d *Disk) PowerCut(luck *rand.Rand) *Disk {
	return d.cut(luck, func(c *content) []byte { return c.cutShort(luck) })
}

// changedNames follows each change of names.
func (d *Disk) changedNames() { d.renamed = append(d.renamed, maps.Clone(d.live)) }

func (c *content) cutShort(luck *rand.Rand) []byte {
	data := slices.Clone(c.safe)
	n := luck.IntN(len(c.changes) + 1)
	for i := range c.changes[:n] {
		data = c.changes[i].apply(data)
	}
	if n < len(c.changes) && !c.changes[n].cut && len(c.changes[n].data) > 0 {
		part := c.changes[n]
		part.data = part.data[:luck.IntN(len(part.data))]
		data = part.apply(data)
		if luck.IntN(4) == 0 {
			data = c.changes[n].zeros(data)
		}
	}
	return data
}

// zeros has data be as long as a write makes it.
func (c *change) zeros(data []byte) []byte {
	if grow := c.at + int64(len(c.data)) - int64(len(data)); grow > 0 {
		if len(data)+int(grow) > cap(data) {
			data = slices.Grow(data, max(int(grow), len(data))) // few copies of what is written in many small pieces
		}
		data = append(data, make([]byte, grow)...)
	}
	return data
}

func (c *change) apply(data []byte) []byte {
	if c.cut {
		return append(data, make([]byte, max(0, c.at-int64(len(data))))...)[:c.at]
	}
	data = c.zeros(data)
	copy(data[c.at:], c.data)
	return data
}

func (c *content) do(ch change) {
	c.data = ch.apply(c.data)
	c.changes = append(c.changes, ch)
}

// ask asks Before, without the lock: it may wait, or look at the disk.
func (d *Disk) ask(op, name string, data []byte) error {
	if d.Before == nil {
		return nil
	}
	return d.Before(Call{Op: op, Name: name, Data: data})
}

func (d *Disk) lies(op, name string) bool { return d.Lies != nil && d.Lies(Call{Op: op, Name: name}) }

// Path implements files.Folder.
func (d *Disk) Path() string { return "disk" }

// Open implements files.Folder.
func (d *Disk) Open(name string) (files.File, error) {
	if err := d.ask("open", name, nil); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	c := d.live[name]
	if c == nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &file{disk: d, content: c}, nil
}

// Edit implements files.Folder.
func (d *Disk) Edit(name string) (files.File, error) {
	d.mu.Lock()
	there := d.live[name] != nil
	d.mu.Unlock()
	if there {
		return d.Open(name)
	}
	return d.Create(name)
}

// Create implements files.Folder.
func (d *Disk) Create(name string) (files.File, error) {
	if err := d.ask("create", name, nil); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.live[name] != nil {
		return nil, &fs.PathError{Op: "create", Path: name, Err: fs.ErrExist}
	}
	c := &content{name: name}
	d.live[name] = c
	d.changedNames()
	return &file{disk: d, content: c}, nil
}

// Rename implements files.Folder.
func (d *Disk) Rename(from, to string) error {
	if err := d.ask("rename", to, nil); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	c := d.live[from]
	if c == nil {
		return &fs.PathError{Op: "rename", Path: from, Err: fs.ErrNotExist}
	}
	delete(d.live, from)
	d.live[to], c.name = c, to
	d.changedNames()
	return nil
}

// Remove implements files.Folder.
func (d *Disk) Remove(name string) error {
	if err := d.ask("remove", name, nil); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.live[name] == nil {
		return &fs.PathError{Op: "remove", Path: name, Err: fs.ErrNotExist}
	}
	delete(d.live, name)
	d.changedNames()
	return nil
}

// Names implements files.Folder.
func (d *Disk) Names() (list []string, err error) {
	if err := d.ask("names", "", nil); err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	for name := range d.live {
		list = append(list, name)
	}
	slices.Sort(list)
	return list, nil
}

// Holds implements files.Folder.
func (d *Disk) Holds(name string, f files.File) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	own, ok := f.(*file)
	return ok && d.live[name] == own.content
}

// Sync implements files.Folder.
func (d *Disk) Sync() error {
	if err := d.ask("sync folder", "", nil); err != nil {
		return err
	}
	if d.lies("sync folder", "") {
		return nil
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.safe, d.renamed = maps.Clone(d.live), nil
	return nil
}

// Lock implements files.Folder.
func (d *Disk) Lock(name string) (bool, error) {
	if err := d.ask("lock", name, nil); err != nil {
		return false, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	got := !d.locked[name]
	d.locked[name] = true
	return got, nil
}

// Close implements files.Folder; it lets go of the locks.
func (d *Disk) Close() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	clear(d.locked)
	return nil
}

var _ files.Folder = (*Disk)(nil)

// String says what lies on the disk, for a test that failed.
func (d *Disk) String() (s string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, name := range slices.Sorted(maps.Keys(d.live)) {
		c := d.live[name]
		s += fmt.Sprintf("%s %d bytes, %d safe\n", name, len(c.data), len(c.safe))
	}
	return s
}

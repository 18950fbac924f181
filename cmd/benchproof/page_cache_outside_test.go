//go:build outside && linux

package main

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/session"
)

const (
	imagesOfKernels = 60
	memoryPage      = 4096 // bytes that a kernel writes back together
	diskSector      = 512  // bytes that a disk writes whole
)

// pageCache is what a kernel has of the folder, and what of it may be on the disk: a model of its
// own, fed with the calls that strace saw, that shares nothing with the disk in memory. It does what
// kernels do, from memory: a page is written back by itself, as it is at some moment; one that was on
// its way when the power went is torn between sectors; a file is as long as what was written back
// needs; what is behind a new end is zeros, on the disk perhaps before the file is shorter; names
// are journalled in their order.
type pageCache struct {
	folder string
	open   map[int]*cachedFile
	at     map[int]int64
	now    map[string]*cachedFile
	names  []map[string]*cachedFile // as of the folder's last sync, and after each change since
	there  bool                     // the folder's own name is safe

	forgets string // a file whose syncs do nothing; "": none
}

// cachedFile is all that a file was since it was synced last.
type cachedFile struct {
	was []fileMoment // the first one is safe
}

// fileMoment is a file behind a call.
type fileMoment struct {
	data []byte
	cut  bool // the call made it shorter
}

func newPageCache(folder string) *pageCache {
	return &pageCache{
		folder: folder, open: map[int]*cachedFile{}, at: map[int]int64{}, now: map[string]*cachedFile{}, names: []map[string]*cachedFile{{}},
	}
}

func (f *cachedFile) last() []byte { return f.was[len(f.was)-1].data }

// do follows a call.
func (p *pageCache) do(t *testing.T, c *systemCall) {
	fd, path := file(t, c.args)
	f := p.open[fd]
	switch c.name {
	case "openat":
		p.opened(t, c)
	case "renameat", "unlinkat":
		if path == p.folder {
			p.renamed(t, c)
		}
	case "close":
		delete(p.open, fd)
	case "fsync", "fdatasync":
		p.synced(f, path)
	}
	if f != nil {
		p.moved(t, f, fd, c)
	}
}

func (p *pageCache) opened(t *testing.T, c *systemCall) {
	fd, path := file(t, c.result)
	if filepath.Dir(path) != p.folder {
		return
	}
	name := filepath.Base(path)
	if p.now[name] == nil {
		p.now[name] = &cachedFile{was: []fileMoment{{}}}
		p.named()
	}
	p.open[fd], p.at[fd] = p.now[name], 0
}

// named follows a change of names.
func (p *pageCache) named() { p.names = append(p.names, maps.Clone(p.now)) }

func (p *pageCache) renamed(t *testing.T, c *systemCall) {
	texts := c.texts(t)
	if c.name == "renameat" {
		p.now[string(texts[1])] = p.now[string(texts[0])]
	}
	delete(p.now, string(texts[0]))
	p.named()
}

func (p *pageCache) synced(f *cachedFile, path string) {
	switch {
	case filepath.Base(path) == p.forgets:
	case f != nil:
		f.was = []fileMoment{{data: f.last()}}
	case path == p.folder:
		p.names = []map[string]*cachedFile{maps.Clone(p.now)}
	case path == filepath.Dir(p.folder):
		p.there = true
	}
}

// moved follows what moves an open file's place, or changes the file.
func (p *pageCache) moved(t *testing.T, f *cachedFile, fd int, c *systemCall) {
	switch c.name {
	case "read":
		p.at[fd] += whole(t, c.result)
	case "lseek":
		p.at[fd] = whole(t, c.result)
	case "ftruncate":
		f.resized(c.number(t))
	case "pwrite64":
		f.written(c.number(t), c.texts(t)[0])
	case "write":
		data := c.texts(t)[0]
		f.written(p.at[fd], data)
		p.at[fd] += int64(len(data))
	}
}

func (f *cachedFile) resized(to int64) {
	was := f.last()
	data := make([]byte, to)
	copy(data, was)
	f.was = append(f.was, fileMoment{data: data, cut: int(to) < len(was)})
}

func (f *cachedFile) written(at int64, what []byte) {
	data := make([]byte, max(len(f.last()), int(at)+len(what)))
	copy(data, f.last())
	copy(data[at:], what)
	f.was = append(f.was, fileMoment{data: data})
}

// image is what a power cut may leave.
func (p *pageCache) image(luck *rand.Rand) map[string][]byte {
	image := map[string][]byte{}
	if !p.there && luck.IntN(2) == 0 {
		return image
	}
	names := p.names[luck.IntN(len(p.names))]
	for _, name := range slices.Sorted(maps.Keys(names)) {
		image[name] = names[name].left(luck)
	}
	return image
}

// left is what a power cut may leave of a file: each page as it was at some moment. eager is how many
// pages of ten were written back since.
func (f *cachedFile) left(luck *rand.Rand) []byte {
	cut := f.cutOf(luck)
	length := len(f.was[cut].data)
	var longest int
	for i := range f.was {
		longest = max(longest, len(f.was[i].data))
	}
	eager := luck.IntN(11)
	disk := make([]byte, (longest+memoryPage-1)/memoryPage*memoryPage)
	for at := 0; at < longest; at += memoryPage {
		copy(disk[at:], f.page(cut, at))
		if luck.IntN(10) >= eager || cut == len(f.was)-1 {
			continue
		}
		moment := cut + 1 + luck.IntN(len(f.was)-cut-1)
		length = max(length, min(at+memoryPage, len(f.was[moment].data)))
		f.writeBack(luck, disk[at:at+memoryPage], at, moment)
	}
	return disk[:length]
}

// writeBack writes a page as it was at a moment, or some of its sectors.
func (f *cachedFile) writeBack(luck *rand.Rand, on []byte, at, moment int) {
	torn := luck.IntN(4) == 0
	for i := 0; i < memoryPage; i += diskSector {
		if !torn || luck.IntN(2) == 0 {
			copy(on[i:i+diskSector], f.page(moment, at)[i:])
		}
	}
}

// cutOf is the last moment at which the file was made shorter that the disk knows of, 0: none since
// it was synced.
func (f *cachedFile) cutOf(luck *rand.Rand) (moment int) {
	for i := range f.was {
		if f.was[i].cut && luck.IntN(2) == 0 {
			moment = i
		}
	}
	return moment
}

// page is that at a place of the file as it was at a moment; behind the end there are zeros.
func (f *cachedFile) page(moment, at int) []byte {
	page := make([]byte, memoryPage)
	if data := f.was[moment].data; at < len(data) {
		copy(page, data[at:])
	}
	return page
}

// ofHoles is what may be said, and stays said, where something is lacking before what was written
// later, which nobody was promised.
var ofHoles = regexp.MustCompile(`^(the recording is damaged |the timeline is damaged |the timeline is not whole: |the timeline was not whole: |` +
	`the timeline up to event \d+ is not as it was written; all of it is judged again)`)

// checkHoles opens an image twice: nothing that was promised is lost, and the second time nothing is
// to be mended.
func (d *tracedDisk) checkHoles(t *testing.T, left *filestest.Disk) error {
	said, err := openAndEnd(t, left)
	if err != nil {
		return err
	}
	if i := slices.IndexFunc(said, func(s string) bool { return !aPowerCutMayDo.MatchString(s) && !ofHoles.MatchString(s) }); i >= 0 {
		return fmt.Errorf("it says: %s", said[i])
	}
	if err := d.lost(slices.Collect(strings.Lines(string(left.Content(session.TimelineFile))))); err != nil {
		return err
	}
	said, err = openAndEnd(t, left)
	if i := slices.IndexFunc(said, func(s string) bool { return !ofHoles.MatchString(s) }); i >= 0 {
		return fmt.Errorf("opened once more, it says: %s", said[i])
	}
	return err
}

// requireKernelImages plays the runs, cuts the power imagesOfKernels times as a kernel may leave it, and
// holds each image to what the disk in memory allows, and what the program makes of it to what was promised.
// With a sync left out something is lost.
func requireKernelImages(t *testing.T, folder string, runs [][]systemCall, calls int) {
	kernelImages(t, folder, runs, calls, "", func(call int, allows, err error) bool {
		return assert.NoError(t, allows, "the disk in memory, behind call %d of %d", call, calls) &&
			assert.NoError(t, err, "behind call %d of %d", call, calls)
	})
	var harm error
	kernelImages(t, folder, runs, calls, session.RecordingFile, func(_ int, _, err error) bool {
		harm = err
		return err == nil
	})
	t.Logf("a kernel without the sync of the recording: %v", harm)
	assert.Error(t, harm)
}

// kernelImages tells found of each image whether the disk in memory allows it and what is wrong with it, until
// found says no. forgets is a file whose syncs do nothing.
func kernelImages(t *testing.T, folder string, runs [][]systemCall, calls int, forgets string, found func(call int, allows, err error) bool) {
	luck := rand.New(rand.NewPCG(2, 16))
	at := map[int]int{}
	for range imagesOfKernels {
		at[1+luck.IntN(calls)]++
	}
	cache, d, n := newPageCache(folder), newTracedDisk(t, folder), 0
	cache.forgets = forgets
	for _, run := range runs {
		for i := range run {
			cache.do(t, &run[i])
			if !d.do(&run[i]) {
				continue
			}
			n++
			for range at[n] {
				image := cache.image(luck)
				left := filestest.New()
				for name, data := range image {
					left.Put(name, data)
				}
				if !found(n, d.allows(image), d.checkHoles(t, left)) {
					return
				}
			}
		}
		clear(cache.open)
		d.ended()
	}
	require.Equal(t, calls, n)
	for name, f := range cache.now {
		require.True(t, bytes.Equal(d.disk.Content(name), f.last()), "%s: both models have what was written", name)
	}
}

// allows says why an image can't be.
func (d *tracedDisk) allows(image map[string][]byte) error {
	if len(image) == 0 && !d.there {
		return nil
	}
	return d.disk.Allows(image)
}

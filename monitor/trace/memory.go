package trace

import (
	"slices"
	"sync"

	"benchproof.example/monitor/event"
)

// What a memory holds of each tap: the latest ten minutes at least, without gaps, and half a minute
// more. A block of a bus of 18 channels has 48 kB: a MB a tap, 1.8 MB where there are 34 channels.
const (
	blockColumns = 600
	mostBlocks   = 20 // full ones, beside the one that is being filled
)

// Memory remembers the latest columns of each tap. It may be read while it takes more.
type Memory struct {
	mu   sync.RWMutex
	taps []remembered
}

// remembered is what is known of a tap.
type remembered struct {
	event.TapName
	blocks  []block
	columns int   // in blocks
	from    int64 // number from which on columns are known
	passed  int64 // number before which none changes any more
	told    int64 // number before which News gave what there was
}

// block is columns one behind the other that have room for equally many channels.
type block struct {
	width   int // of a column: ends
	numbers []int64
	ends    []int16
}

// NewMemory makes an empty one.
func NewMemory() *Memory { return &Memory{} }

// Begin implements Sink. What was heard before is forgotten.
func (m *Memory) Begin(taps []event.TapName, from int64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.taps = make([]remembered, len(taps))
	for i := range taps {
		m.taps[i] = remembered{TapName: taps[i], from: from, passed: from, told: from}
	}
}

// Take implements Sink.
func (m *Memory) Take(tap int, c *Column, passed int64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	t := &m.taps[tap]
	t.passed = max(t.passed, passed)
	if c != nil {
		t.take(c)
	}
}

func (t *remembered) take(c *Column) {
	if b := t.last(); b != nil {
		if n := len(b.numbers); b.numbers[n-1] == c.Number {
			b.numbers = append(make([]int64, 0, blockColumns), b.numbers[:n-1]...) // who reads has the others
			b.ends = append(make([]int16, 0, blockColumns*b.width), b.ends[:(n-1)*b.width]...)
			t.columns--
		}
	}
	b := t.last()
	if b == nil || len(b.numbers) == blockColumns || b.width < len(c.Ends) {
		t.blocks = append(t.blocks, block{
			width: len(c.Ends), numbers: make([]int64, 0, blockColumns), ends: make([]int16, 0, blockColumns*len(c.Ends)),
		})
		b = &t.blocks[len(t.blocks)-1]
	}
	b.numbers, b.ends = append(b.numbers, c.Number), append(b.ends, c.Ends...)
	for range b.width - len(c.Ends) {
		b.ends = append(b.ends, NotHeard)
	}
	t.columns++
	t.told = min(t.told, c.Number)
	t.forget()
}

// last is the block that is being filled, nil for none. One that its last column was taken from
// again is left out.
func (t *remembered) last() *block {
	for n := len(t.blocks); n > 0; n-- {
		if b := &t.blocks[n-1]; len(b.numbers) > 0 {
			return b
		}
		t.blocks = t.blocks[:n-1]
	}
	return nil
}

// forget lets go of the oldest block once there are enough behind it.
func (t *remembered) forget() {
	for len(t.blocks) > 1 && t.columns-len(t.blocks[0].numbers) >= mostBlocks*blockColumns {
		old := &t.blocks[0]
		t.columns -= len(old.numbers)
		t.from = old.numbers[len(old.numbers)-1] + 1
		t.blocks = append(t.blocks[:0], t.blocks[1:]...)
	}
}

// Knows is the number from which on a memory knows the columns of all taps.
func (m *Memory) Knows() (from int64) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	for i := range m.taps {
		from = max(from, m.taps[i].from)
	}
	return from
}

// Size is how many bytes the columns take.
func (m *Memory) Size() (n int) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	for i := range m.taps {
		for _, b := range m.taps[i].blocks {
			n += 8*cap(b.numbers) + 2*cap(b.ends)
		}
	}
	return n
}

// Each gives a Sink the columns in [from, to) of each tap, as far as they are known and do not
// change any more. It keeps nobody waiting who gives more of them.
func (m *Memory) Each(from, to int64, sink Sink) {
	taps, names := m.look()
	sink.Begin(names, from)
	for i := range taps {
		taps[i].each(i, from, to, sink)
	}
}

// look is what is known now. Columns that are there stay as they are.
func (m *Memory) look() (taps []remembered, names []event.TapName) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	taps = slices.Clone(m.taps)
	for i := range taps {
		taps[i].blocks = slices.Clone(taps[i].blocks)
	}
	return taps, m.names()
}

// News are the columns that came, or changed, since it was asked for last: for who hands them on to
// all who look. False: none did.
func (m *Memory) News() (*Answer, bool) {
	taps, names := m.look()
	var a *Answer
	for i := range taps {
		t := &taps[i]
		if t.told >= t.passed {
			continue
		}
		if a == nil {
			a = newAnswer(1)
			a.Begin(names, 0)
		}
		a.taps[i].first = t.told
		t.each(i, t.told, t.passed, a)
	}
	m.tell(taps)
	return a, a != nil
}

// tell notes what was told. What changed meanwhile is told again.
func (m *Memory) tell(taps []remembered) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := range taps {
		if t := &m.taps[i]; t.told == taps[i].told {
			t.told = max(t.told, taps[i].passed)
		}
	}
}

// Skip has News leave out what came so far.
func (m *Memory) Skip() {
	taps, _ := m.look()
	m.tell(taps)
}

func (m *Memory) names() (list []event.TapName) {
	for i := range m.taps {
		list = append(list, m.taps[i].TapName)
	}
	return list
}

func (t *remembered) each(tap int, from, to int64, sink Sink) {
	from, to = max(from, t.from), min(to, t.passed)
	for i := range t.blocks {
		t.blocks[i].each(from, to, func(c *Column) { sink.Take(tap, c, to) })
	}
	sink.Take(tap, nil, to)
}

func (b *block) each(from, to int64, give func(*Column)) {
	n := len(b.numbers)
	if n == 0 || b.numbers[n-1] < from || b.numbers[0] >= to {
		return
	}
	for i, number := range b.numbers {
		if number >= from && number < to {
			give(&Column{Number: number, Ends: b.ends[i*b.width : (i+1)*b.width]})
		}
	}
}

package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sort"
	"sync"
	"time"

	"benchproof.example/monitor/crclog"
)

const (
	journalPatience = 5 * time.Second
	journalReaders  = 4   // at a time: a disk that hangs holds no more than these
	markEvery       = 256 // events
)

// errDisk says that older events can't be had for now.
var errDisk = errors.New("the disk with the timeline does not answer: older events can't be read now")

// journal reads older events from the file. A file that hangs holds up a few
// goroutines of its own and nobody else for longer than journalPatience.
type journal struct {
	open    func() (io.ReadSeekCloser, error) // nil: no file
	readers chan struct{}

	mu    *sync.Mutex
	marks []mark // every this many events, rising; so that not all is read each time
}

// mark says where in the file the line of an event begins.
type mark struct{ seq, offset int64 }

func newJournal(open func() (io.ReadSeekCloser, error)) journal {
	return journal{open: open, readers: make(chan struct{}, journalReaders), mu: new(sync.Mutex)}
}

// after gives events behind a number, oldest first; none if the file has none.
func (j *journal) after(ctx context.Context, seq int64, most limits) ([]shownEvent, error) {
	if j.open == nil {
		return nil, nil
	}
	ctx, cancel := context.WithTimeout(ctx, journalPatience)
	defer cancel()
	select {
	case j.readers <- struct{}{}:
	case <-ctx.Done():
		return nil, errDisk
	}
	var list []shownEvent
	var err error
	done := make(chan struct{})
	go func() {
		defer func() { <-j.readers }()
		defer close(done)
		list, err = j.read(seq, most)
	}()
	select {
	case <-done:
		return list, err
	case <-ctx.Done():
		return nil, errDisk
	}
}

// errEnough ends a walk through the file.
var errEnough = errors.New("enough")

func (j *journal) read(seq int64, most limits) (list []shownEvent, err error) {
	file, err := j.open()
	if err != nil {
		return nil, fmt.Errorf("older events can't be read: %w", err)
	}
	defer func() { _ = file.Close() }()
	begin := j.before(seq)
	if _, err := file.Seek(begin, io.SeekStart); err != nil {
		return nil, fmt.Errorf("older events can't be read: %w", err)
	}
	bytes, passed := 0, 0
	_, err = crclog.Scan(file, func(offset int64, line []byte, damage error) error {
		if damage != nil {
			return nil // it stays in the file; no line of it can be believed
		}
		number, err := seqOf(line)
		if err != nil {
			return err
		}
		if passed++; passed%markEvery == 0 {
			j.keep(mark{number, begin + offset})
		}
		if number <= seq {
			return nil
		}
		e := newEvent(number, line)
		if most.full(len(list), bytes, len(e.frame)) {
			return errEnough
		}
		list, bytes = append(list, e), bytes+len(e.frame)
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return nil, fmt.Errorf("older events can't be read: %w", err)
	}
	return list, nil
}

func seqOf(line []byte) (int64, error) {
	var e struct {
		Seq int64 `json:"seq"`
	}
	if err := json.Unmarshal(line, &e); err != nil {
		return 0, fmt.Errorf("timeline line: %w", err)
	}
	return e.Seq, nil
}

// before is where to begin to find what is behind a number.
func (j *journal) before(seq int64) int64 {
	j.mu.Lock()
	defer j.mu.Unlock()
	if i := sort.Search(len(j.marks), func(i int) bool { return j.marks[i].seq > seq }); i > 0 {
		return j.marks[i-1].offset
	}
	return 0
}

func (j *journal) keep(m mark) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if n := len(j.marks); n == 0 || j.marks[n-1].seq+markEvery/2 < m.seq {
		j.marks = append(j.marks, m)
	}
}

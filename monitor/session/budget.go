package session

import (
	"fmt"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// countEvery is how often the closed segments of a recording are counted: they grow by one in half an hour, and shrink
// when that is packed.
const countEvery = 10 * unit.Second

// budget is how much a recording may take on the disk. One that is used up is as a disk that is full: watching goes
// on, and so does the recording where room was made.
type budget struct {
	most   int64 // bytes, 0: all that the disk has
	closed int64 // of the closed segments, as they were last counted
	next   int64 // when they are counted again, clock ns
	usedUp bool  // when it was last looked at
}

// usedUpError says that a recording has all the room that it may have.
type usedUpError struct{ most int64 }

func (e usedUpError) Error() string {
	return fmt.Sprintf("the recording has the %.2f GB that it may have (recording-room)", float64(e.most)/1e9)
}

// check reports that it is used up, with open bytes in the segment that is written.
func (b *budget) check(in files.Folder, open, now int64) error {
	if b.most == 0 {
		return nil
	}
	if now >= b.next || b.closed+open >= b.most {
		closed, err := closedBytes(in)
		if err != nil {
			return err
		}
		b.closed, b.next = closed, now+int64(countEvery)
	}
	if b.usedUp = b.closed+open >= b.most; b.usedUp {
		return usedUpError{b.most}
	}
	return nil
}

// closedBytes are those of all closed segments, in whatever form.
func closedBytes(in files.Folder) (sum int64, err error) {
	names, err := in.Names()
	if err != nil {
		return 0, fmt.Errorf("count the recording: %w", err)
	}
	for _, name := range names {
		if !recording.IsClosedName(name) {
			continue
		}
		f, err := in.Open(name)
		if err != nil {
			continue // it was packed meanwhile
		}
		size, err := f.Size()
		_ = f.Close()
		if err == nil {
			sum += size
		}
	}
	return sum, nil
}

package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
)

// reread reads, while a resumed session goes on, the segments of its recording that were
// closed before: what opening it did not read. It takes one at a time and each once.
type reread struct {
	left    []recording.Segment // in order, those from the last step on
	session string              // identity of the session
	next    int64               // number of the input with which the next begins, -1 where that is not known
	flawed  bool                // one had a flaw, or was thinned
}

// planReread plans it for the segments that are closed now.
func (l *Live) planReread(session string) error {
	list, err := recording.Segments(l.files.folder)
	if err != nil {
		return err
	}
	l.reread.session = session
	for _, s := range list {
		if s.Number > 0 {
			l.reread.left = append(l.reread.left, s)
		}
	}
	return nil
}

// rereadStep reads the next segment. What is wrong with it becomes an input: recorded, judged and
// told like all else.
func (l *Live) rereadStep(ctx context.Context) {
	if len(l.reread.left) == 0 {
		return
	}
	s := l.reread.left[0]
	why, err := l.reread.wrong(ctx, l, s)
	if ctx.Err() != nil {
		return
	}
	l.reread.left = l.reread.left[1:]
	if err != nil {
		why = err.Error()
	}
	if why == "" {
		return
	}
	l.reread.flawed = true
	data, err := json.Marshal(event.RecordingHurtData{Part: s.Name, Why: why})
	if err == nil {
		l.Seq.Put(event.BenchTap, event.InputRecordingHurt, data)
	}
}

const cutOff = "its end is cut off"

// wrong says what is wrong with a segment, "" for nothing.
func (r *reread) wrong(ctx context.Context, l *Live, s recording.Segment) (why string, err error) {
	now, err := l.asItIs(s.Number)
	if err != nil {
		r.next = -1
		return "", err
	}
	from, err := recording.OpenSegment(l.files.folder, now)
	if err != nil {
		r.next = -1
		return "", err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	var in event.Input
	for err = from.Next(&in); err == nil; err = from.Next(&in) {
		if ctx.Err() != nil {
			return "", ctx.Err()
		}
	}
	if !errors.Is(err, io.EOF) {
		r.next = -1
		return "", err
	}
	why = r.judge(&from.Reader)
	r.flawed = r.flawed || len(from.Thinned()) > 0
	if r.next = from.Position().Input; from.DamageCount() > 0 || why == cutOff {
		r.next = -1
	}
	return why, nil
}

// judge says the first thing that is wrong with a segment that was read to its end.
func (r *reread) judge(from *recording.Reader) string {
	_, torn := from.Tail()
	switch list := from.Damages(); {
	case len(list) > 0:
		list[0].File = ""
		return list[0].String()
	case torn:
		return cutOff
	case from.Session() != "" && from.Session() != r.session:
		return "it is part of another session"
	case r.next >= 0 && from.First() != r.next:
		return fmt.Sprintf("it begins with input %d, and input %d should follow here", from.First(), r.next)
	}
	return ""
}

// asItIs is a segment as it lies there now: it may have been packed meanwhile.
func (l *Live) asItIs(number int) (recording.Segment, error) {
	list, err := recording.Segments(l.files.folder)
	for _, s := range list {
		if s.Number == number {
			return s, err
		}
	}
	return recording.Segment{}, errors.Join(err, errors.New("it is gone"))
}

package session

import "benchproof.example/monitor/record"

// Record is the record of the session as judged when Run returned, without error. It is that
// which judging the recording again gives; record.ErrNotGathered where only that makes it:
// judgement was behind, what is recorded was not all read since the session was opened or
// has flaws, there was a gap in it, or more happened than is remembered.
func (l *Live) Record() (*record.Record, error) {
	if l.judge.left || l.unread || l.reread.flawed || len(l.reread.left) > 0 {
		return nil, record.ErrNotGathered
	}
	return l.judge.gather.Record(l.judge.engine, string(l.opt.SheetText), nil)
}

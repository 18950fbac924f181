package session

import (
	"context"
	"fmt"
	"strings"

	"benchproof.example/monitor/timeline"
)

// checkEarlier checks the part of the timeline that Open left unread. A timeline that is
// not as it was written can be mended only behind all of the recording, so that is left
// to the next time when the session is opened: without checkpoints.
func (l *Live) checkEarlier(ctx context.Context) {
	from := l.found.From
	if from.Offset == 0 {
		return
	}
	faults, err := timeline.CheckUntil(ctx, l.files.folder, TimelineFile, from)
	switch {
	case ctx.Err() != nil:
	case err != nil:
		l.pub.report(err)
	case len(faults) > 0:
		l.writer.queue.add(pendingEvent{cause: noCause, aside: l.writer.forgetCheckpoints})
		l.pub.report(fmt.Errorf("the timeline up to event %d is not as it was written (%s): when this session is opened again, "+
			"all of it is judged again and the timeline mended", from.Seq, strings.Join(faults, "; ")))
	}
}

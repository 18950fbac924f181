package session

import (
	"context"
	"errors"
	"fmt"

	"benchproof.example/monitor/recording"
)

// packStep packs the first closed segment that is not packed yet, with the checkpoint with
// which it begins. One that can't be packed stays as it is, which is said once.
func (l *Live) packStep(ctx context.Context) {
	list, err := recording.Segments(l.files.folder)
	for i := range list {
		s := &list[i]
		if s.Number == 0 || s.Packed || l.unpackable[s.Number] {
			continue
		}
		if err = l.pack(ctx, s.Number); err != nil {
			break
		}
		return
	}
	if err != nil && ctx.Err() == nil {
		l.pub.report(fmt.Errorf("a closed part of the recording stays as large as it is: %w", err))
	}
}

func (l *Live) pack(ctx context.Context, number int) error {
	line, err := firstOf(l.files.folder, number)
	if err == nil {
		err = recording.Pack(ctx, l.files.folder, number, line)
	}
	if err != nil && !errors.Is(err, context.Canceled) {
		l.unpackable[number] = true
	}
	return err
}

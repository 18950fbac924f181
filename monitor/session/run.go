package session

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
)

// All that runs at the same time, waits or sleeps while a session is heard is in here;
// what is done is in the steps.

// patience is how long the end of a session waits for a disk.
const patience = 5 * time.Second

// syncEvery is how much a power cut may take.
const syncEvery = time.Second

// Run hears until ctx is done: each of ports runs until then. It returns when
// all is written, or with what could not be.
func (l *Live) Run(ctx context.Context, ports ...func(context.Context)) error {
	var hearing sync.WaitGroup
	for _, p := range ports {
		hearing.Go(func() { p(ctx) })
	}
	hearing.Go(func() { port.Beat(ctx, l.Seq, l.watchdog) })
	judged := start(func() { l.loop(l.judge.step, func() { l.Seq.Wait(port.Judge) }, nil) })
	recorded := start(func() { l.loop(l.rec.step, func() { l.Seq.Wait(port.Recorder) }, l.rec.bell) })
	written := start(func() { l.loop(l.writer.step, nil, l.writer.queue.bell) })
	stop := make(chan struct{})
	synced := start(func() { each(syncEvery, stop, l.syncStep) })

	hearing.Wait()
	l.Seq.Close(event.InputEnd)
	l.rec.close()
	<-judged
	ended := start(func() {
		<-recorded
		l.finishWriting()
		<-written
		close(stop)
		<-synced
	})
	select {
	case <-ended:
		return errors.Join(l.judge.err, l.close())
	case <-time.After(patience):
		return errors.Join(l.judge.err, fmt.Errorf("the disk has not answered for %v: the end of this session is not recorded", patience))
	}
}

// start runs f beside; the channel is closed when it returns.
func start(f func()) <-chan struct{} {
	done := make(chan struct{})
	go func() {
		defer close(done)
		f()
	}()
	return done
}

// loop does steps until the last, and waits in between for what they ask for: inputs,
// or the bell, or a time and the bell.
func (l *Live) loop(step func() wait, inputs func(), b bell) {
	for {
		switch w := step(); w.what {
		case forNothing:
		case forInputs:
			inputs()
		case forDisk:
			b.waitUntil(time.Duration(w.until - l.opt.Clock()))
		case forEvents, forRecord:
			<-b
		case over:
			return
		}
	}
}

func each(d time.Duration, stop <-chan struct{}, step func()) {
	tick := time.NewTicker(d)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
			step()
		}
	}
}

// bell wakes a loop. Ringing never blocks, and what rings while nobody waits is heard by
// the next who does.
type bell chan struct{}

func newBell() bell { return make(bell, 1) }

func (b bell) ring() {
	select {
	case b <- struct{}{}:
	default:
	}
}

// waitUntil waits for the bell for a while at most.
func (b bell) waitUntil(d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-b:
	case <-timer.C:
	}
}

package session

import (
	"context"
	"sync"
	"time"

	"benchproof.example/monitor/port"
)

// All that runs at the same time, waits or sleeps while a session is heard is in here;
// what is done is in the steps.

// The end of a session waits so long for judgement to catch up, which it can do when the
// session is opened again, and so long in all, also for a disk. Who stops a session gets
// its prompt back within two seconds.
const (
	judgePatience = 600 * time.Millisecond
	patience      = 1200 * time.Millisecond
)

// packEvery is how often a segment is looked for that could be packed.
const packEvery = 10 * time.Second

// syncEvery is how much a power cut may take.
const syncEvery = time.Second

// Run hears until ctx is done: each of ports runs until then. It returns when
// all is written, or with what could not be.
func (l *Live) Run(ctx context.Context, ports ...func(context.Context)) error {
	s := l.Steps()
	var hearing, working, beside sync.WaitGroup
	for _, p := range ports {
		hearing.Go(func() { p(ctx) })
	}
	hearing.Go(func() { port.Beat(ctx, l.Seq, l.watchdog) })
	working.Go(func() { l.loop(s.judge, func() { l.Seq.Wait(port.Judge) }, nil) })
	working.Go(func() { l.loop(s.record, func() { l.Seq.Wait(port.Recorder) }, l.rec.bell) })
	working.Go(func() { l.loop(s.write, nil, l.writer.queue.bell) })
	working.Go(func() { l.loop(s.close, nil, s.closing) })
	stop := make(chan struct{})
	beside.Go(func() { each(syncEvery, stop, s.Sync) })
	besides, endBesides := context.WithCancel(context.WithoutCancel(ctx))
	beside.Go(func() { each(packEvery, stop, func() { s.Tidy(besides) }) })
	beside.Go(func() { s.CheckEarlier(besides) })

	hearing.Wait()
	endBesides()
	l.loop(s.end, nil, s.bell)
	close(stop)
	err := s.Err()
	if s.late {
		go l.loop(s.end, nil, s.bell)
		return err
	}
	working.Wait()
	beside.Wait()
	return err
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

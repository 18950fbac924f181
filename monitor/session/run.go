package session

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/unit"
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
	beside, endBeside := context.WithCancel(context.WithoutCancel(ctx))
	packed := start(func() { each(packEvery, stop, func() { l.packStep(beside); l.rereadStep(beside) }) })
	checked := start(func() { l.checkEarlier(beside) })

	hearing.Wait()
	late := time.After(patience)
	l.Seq.Close(event.InputEnd)
	l.rec.close()
	endBeside()
	l.awaitJudge(judged)
	ended := start(func() {
		<-recorded
		l.finishWriting()
		<-written
		close(stop)
		<-synced
		<-packed
		<-checked
	})
	select {
	case <-ended:
		return errors.Join(l.judge.err, l.close())
	case <-late:
		return errors.Join(l.judge.err, fmt.Errorf("the disk has not answered for %v and is not waited for: what was heard from %s on is not recorded",
			patience, unit.FormatClock(l.rec.recorded())))
	}
}

// awaitJudge waits for the end of judgement, or has it leave what it is behind with.
func (l *Live) awaitJudge(judged <-chan struct{}) {
	select {
	case <-judged:
	case <-time.After(judgePatience):
		l.judge.leave.Store(true)
		<-judged
	}
	if h := l.judge.history; h != nil {
		h.close()
	}
	if l.judge.left {
		l.pub.report(errors.New("judgement was behind: what is recorded and not judged yet is judged when this session is opened again, or by report"))
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

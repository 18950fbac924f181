//go:build outside && linux

package browser_test

import (
	"math/rand/v2"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/world"
)

// transmitter sends frames made here, one each 7 ms, to a program that watches: so it is known when
// the last byte of each was given to the port.
type transmitter struct {
	ports   *world.PTYs
	daemon  *daemon
	moves   bool           // all channels but the throttle do
	asked   chan uint32    // counts of the throttle from the next frame on
	sent    chan time.Time // when the first such frame was
	stopped chan struct{}
	sending sync.WaitGroup
}

const (
	framePeriod = 7 * time.Millisecond
	throttle    = 2 // its place in a frame
)

// newTransmitter sends until the test is over, to a program with further flags.
func newTransmitter(t *testing.T, moves bool, flags ...string) *transmitter {
	ports, err := world.OpenPTYs(2) // nothing ever comes from the leads
	require.NoError(t, err)
	folder, err := newFolder()
	require.NoError(t, err)
	x := &transmitter{ports: ports, moves: moves, asked: make(chan uint32), sent: make(chan time.Time, 1), stopped: make(chan struct{})}
	x.sending.Go(x.send)
	t.Cleanup(func() {
		close(x.stopped)
		x.sending.Wait()
		x.daemon.end(os.Interrupt)
		require.NoError(t, ports.Close())
		_ = os.RemoveAll(folder)
	})
	b := &bench{folder: folder, ports: []string{"--bus", "main=" + ports.Paths()[0], "--leads", "leads=" + ports.Paths()[1]}}
	x.daemon, err = b.watch("reedwing-1400/measured", append(flags, "--sheet", reedwing.sheet)...)
	require.NoError(t, err)
	return x
}

// send sends frame after frame.
func (x *transmitter) send() {
	var frame bus.Frame
	for i := range frame.Counts {
		frame.Counts[i] = 992
	}
	frame.Counts[throttle] = 192
	raw := make([]byte, servobus.FrameLen)
	tick := time.NewTicker(framePeriod)
	defer tick.Stop()
	var asked []uint32
	for n, pause := 0, 0; ; n++ {
		select {
		case <-x.stopped:
			return
		case counts := <-x.asked:
			asked, pause = append(asked, counts), rand.IntN(9)
			continue
		case <-tick.C:
		}
		changes := len(asked) > 0 && pause == 0
		if changes {
			frame.Counts[throttle], asked = asked[0], nil
		}
		pause--
		x.move(&frame, n)
		servobus.Encode(&frame, raw)
		if x.ports.Ends()[0].Deliver(world.Delivery{Kind: world.Data, Data: raw}) == nil && changes {
			x.sent <- time.Now()
		}
	}
}

// move takes the channels on that move, each at its own pace, for a frame by its number.
func (x *transmitter) move(frame *bus.Frame, n int) {
	for i := range servobus.Channels {
		if x.moves && i != throttle {
			frame.Counts[i] = uint32(200 + abs(n*(3+i)%3200-1600))
		}
	}
}

func abs(n int) int { return max(n, -n) }

// puts puts the throttle at so many counts, some frames later, so that it is in no step with what the
// program does in steps; and gives when the last byte of the first frame that has it was sent.
func (x *transmitter) puts(t *testing.T, counts uint32) (sent time.Time) {
	t.Helper()
	x.asked <- counts
	select {
	case sent = <-x.sent:
	case <-time.After(soon):
		require.Fail(t, "the frame was not sent: its port takes nothing")
	}
	return sent
}

package api_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tmaxmax/go-sse"

	"benchproof.example/monitor/api"
)

// follower is somebody else's client of event streams.
type follower struct {
	events chan sse.Event
	stop   context.CancelFunc
	ended  chan error
}

// follow reads a stream, reconnecting as such clients do.
func (r *rig) follow(t testing.TB, query string, headers ...string) *follower {
	f := &follower{events: make(chan sse.Event, 20_000), ended: make(chan error, 1)}
	var ctx context.Context
	ctx, f.stop = context.WithCancel(context.Background())
	request, err := http.NewRequestWithContext(ctx, "GET", r.url+"/api/events"+query, nil)
	require.NoError(t, err)
	for _, h := range headers {
		name, value, _ := strings.Cut(h, ": ")
		request.Header.Set(name, value)
	}
	client := sse.Client{HTTPClient: r.http, ResponseValidator: sse.DefaultValidator,
		Backoff: sse.Backoff{InitialInterval: time.Millisecond, Multiplier: 1, MaxInterval: 5 * time.Millisecond}}
	c := client.NewConnection(request)
	c.Buffer(nil, 2<<20)
	c.SubscribeToAll(func(e sse.Event) { f.events <- e })
	go func() { f.ended <- c.Connect() }()
	t.Cleanup(func() { f.stop(); assert.Error(t, <-f.ended) })
	return f
}

// wants checks that exactly these events come next.
func (f *follower) wants(t testing.TB, from, to int64) {
	late := time.After(30 * time.Second)
	for n := from; n <= to; n++ {
		select {
		case e := <-f.events:
			require.Equal(t, fmt.Sprint(n), e.LastEventID)
			require.Equal(t, string(line(t, n)), e.Data+"\n")
			require.Empty(t, e.Type)
		case <-late:
			require.FailNow(t, "event does not come", "%d", n)
		}
	}
}

func TestEventsComeAsTheyAreShown(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 3)
	fromNow, all, resumed := r.follow(t, ""), r.follow(t, "?after=0"), r.follow(t, "?after=0", "Last-Event-ID: 2")
	all.wants(t, 1, 3)
	resumed.wants(t, 3, 3)
	require.Eventually(t, func() bool { return r.Streams() == 3 }, 10*time.Second, time.Millisecond)
	first := r.get(t, "/api/state") // what is open has its place in the timeline by now
	require.Equal(t, 200, first.code)
	r.publish(t, 4, 1000)
	for _, f := range []*follower{all, resumed, fromNow} {
		f.wants(t, 4, 1000)
		assert.Empty(t, f.events)
	}
}

// What memory no longer holds comes out of the journal, then the stream goes on
// with what is new.
func TestAStreamBeginsInTheJournal(t *testing.T) {
	r := start(t, nil)
	r.write(t, lines(t, 1, 3000)) // an earlier run of the session
	f := r.follow(t, "?after=1")
	f.wants(t, 2, 3000)
	r.publish(t, 3001, 3100)
	f.wants(t, 3001, 3100)
	more := int64(3100 + api.RingEvents + 500)
	r.publish(t, 3101, more)
	f.wants(t, 3101, more)
	again := r.follow(t, "?after=2999")
	again.wants(t, 3000, more)
}

// cutter lets every connection die after some bytes.
type cutter struct {
	net.Listener
	after int
}

func (c cutter) Accept() (net.Conn, error) {
	conn, err := c.Listener.Accept()
	return &cutConn{Conn: conn, left: c.after}, err
}

type cutConn struct {
	net.Conn
	left int
}

func (c *cutConn) Write(p []byte) (int, error) {
	if len(p) > c.left {
		n, _ := c.Conn.Write(p[:c.left])
		c.left = 0
		_ = c.Close()
		return n, io.ErrClosedPipe
	}
	c.left -= len(p)
	return c.Conn.Write(p)
}

// A connection that breaks anywhere, also in the middle of an event, costs no
// event and doubles none.
func TestAStreamThatBreaksGoesOn(t *testing.T) {
	r := startOn(t, nil, func(l net.Listener) net.Listener { return cutter{l, 3333} })
	f := r.follow(t, "?after=0")
	for n := int64(1); n <= 600; n += 60 {
		r.publish(t, n, n+59)
		f.wants(t, n, n+59)
	}
	f.stop()
	assert.Empty(t, f.events)
}

func TestStreamsAreBounded(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Streams = 2 })
	r.publish(t, 1, 1)
	first, second := r.follow(t, "?after=0"), r.follow(t, "?after=0")
	first.wants(t, 1, 1)
	second.wants(t, 1, 1)
	got := r.get(t, "/api/events")
	assert.Equal(t, 503, got.code)
	assert.Contains(t, sentence(t, got), "2 event streams are open")
	assert.Equal(t, 200, r.get(t, "/api/timeline").code)
	first.stop()
	require.Eventually(t, func() bool { return r.Streams() == 1 }, 10*time.Second, time.Millisecond)
	r.follow(t, "?after=0").wants(t, 1, 1)
}

// What is shown twice, or late, is not reported twice.
func TestNumbersRise(t *testing.T) {
	r := start(t, nil)
	for _, n := range []int64{5, 6, 6, 5, 9, 1, 10} {
		r.Publish(n, line(t, n))
	}
	assert.Equal(t, string(lines(t, 5, 6))+string(lines(t, 9, 10)), r.get(t, "/api/timeline?after=4").body)
}

// A number of another session must not have a client wait for ever.
func TestAStreamOfAnotherSessionEnds(t *testing.T) {
	r := start(t, nil)
	f := r.follow(t, "?after=500") // nothing is shown yet, so nobody can tell
	require.Eventually(t, func() bool { return r.Streams() == 1 }, 10*time.Second, time.Millisecond)
	r.publish(t, 1, 1)
	select {
	case err := <-f.ended:
		require.ErrorContains(t, err, "400", "it reconnects and is told")
		f.ended <- err
	case <-time.After(30 * time.Second):
		require.FailNow(t, "it waits for ever")
	}
}

func TestStreamsEndWithTheServer(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 1)
	answer, err := r.http.Get(r.url + "/api/events?after=0")
	require.NoError(t, err)
	lines := bufio.NewReader(answer.Body)
	_, err = lines.ReadString('}')
	require.NoError(t, err)
	r.publish(t, 2, 300)
	r.stop()
	rest, err := io.ReadAll(lines)
	require.NoError(t, err, "the stream ends as it should")
	assert.Contains(t, string(rest), "\nid: 300\n", "with what was shown until then")
	require.NoError(t, <-r.ended)
	r.ended <- nil
	_ = answer.Body.Close()
}

func TestTheListenerFails(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	s, err := api.New(api.Options{State: well})
	require.NoError(t, err)
	require.ErrorIs(t, s.Serve(context.Background(), l), net.ErrClosed)
}

// pipes is a listener whose connections have no buffers: what is not read is
// not written. In a synctest bubble time passes only while all wait.
type pipes struct {
	conns chan net.Conn
	done  chan struct{}
}

func newPipes() *pipes { return &pipes{make(chan net.Conn), make(chan struct{})} }

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipes) Close() error   { close(p.done); return nil }
func (p *pipes) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1)} }

// ask opens a connection and sends a request.
func (p *pipes) ask(t testing.TB, request string) (net.Conn, *bufio.Reader) {
	ours, theirs := net.Pipe()
	p.conns <- theirs
	_, err := io.WriteString(ours, request+" HTTP/1.1\r\nHost: localhost\r\n\r\n")
	require.NoError(t, err)
	t.Cleanup(func() { _ = ours.Close() })
	return ours, bufio.NewReader(ours)
}

func answerOf(t testing.TB, from *bufio.Reader) *http.Response {
	answer, err := http.ReadResponse(from, nil)
	require.NoError(t, err)
	return answer
}

// inBubble serves over pipes.
func inBubble(t *testing.T, open func() (io.ReadSeekCloser, error), f func(*testing.T, *api.Server, *pipes)) {
	synctest.Test(t, func(t *testing.T) {
		s, err := api.New(api.Options{State: well, Journal: open})
		require.NoError(t, err)
		p := newPipes()
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Serve(ctx, p) }()
		f(t, s, p)
		stop()
		require.NoError(t, <-ended)
	})
}

func TestAClientThatNeverReadsIsDroppedAndDelaysNobody(t *testing.T) {
	inBubble(t, nil, func(t *testing.T, s *api.Server, p *pipes) {
		deaf, _ := p.ask(t, "GET /api/events?after=0")
		_, from := p.ask(t, "GET /api/events?after=0")
		answer := answerOf(t, from)
		begun := time.Now()
		stream := bufio.NewScanner(answer.Body)
		for n := int64(1); n <= 3*api.RingEvents; n++ {
			s.Publish(n, line(t, n))
			for stream.Scan() {
				if stream.Text() == fmt.Sprintf("id: %d", n) {
					break
				}
			}
			require.True(t, stream.Scan())
			require.Equal(t, "data: "+string(line(t, n)), stream.Text()+"\n")
		}
		assert.Zero(t, time.Since(begun), "no event waited for the deaf one")
		assert.Equal(t, 2, s.Streams())
		time.Sleep(10*time.Second + time.Millisecond)
		synctest.Wait()
		assert.Equal(t, 1, s.Streams())
		_, err := deaf.Write([]byte("x"))
		require.Error(t, err, "its connection is closed")
	})
}

func TestHeartbeat(t *testing.T) {
	inBubble(t, nil, func(t *testing.T, s *api.Server, p *pipes) {
		s.Publish(1, line(t, 1))
		_, from := p.ask(t, "GET /api/events?after=1")
		answer := answerOf(t, from)
		begun := time.Now()
		stream := bufio.NewReader(answer.Body)
		for n := 0; n < 5; {
			text, err := stream.ReadString('\n')
			require.NoError(t, err)
			if text == ":\n" {
				assert.Equal(t, time.Duration(n)*15*time.Second, time.Since(begun))
				n++
			}
		}
	})
}

// A disk that hangs holds up only those who ask for what memory has not, and
// those not for long.
func TestADiskThatHangs(t *testing.T) {
	var asked atomic.Int32
	hung := func() (io.ReadSeekCloser, error) {
		asked.Add(1)
		time.Sleep(time.Hour)
		return nil, os.ErrClosed
	}
	inBubble(t, hung, func(t *testing.T, s *api.Server, p *pipes) {
		for n := int64(100); n < 200; n++ {
			s.Publish(n, line(t, n))
		}
		begun := time.Now()
		var waiting []*bufio.Reader
		for range 10 {
			for _, path := range []string{"/api/timeline?after=1", "/api/events?after=1"} {
				_, from := p.ask(t, "GET "+path)
				waiting = append(waiting, from)
			}
		}
		for _, path := range []string{"/api/timeline?after=150", "/api/state", "/healthz", "/api/claims", "/"} {
			_, from := p.ask(t, "GET "+path)
			answer := answerOf(t, from)
			assert.Equal(t, 200, answer.StatusCode, path)
			_, err := io.ReadAll(answer.Body)
			require.NoError(t, err)
		}
		assert.Zero(t, time.Since(begun))
		for _, from := range waiting {
			answer := answerOf(t, from)
			body, err := io.ReadAll(answer.Body)
			require.NoError(t, err)
			assert.Equal(t, 503, answer.StatusCode)
			assert.Contains(t, string(body), "does not answer")
			assert.Contains(t, string(body), "events from 100 on are in memory: ask with after=99")
		}
		assert.Equal(t, 5*time.Second, time.Since(begun))
		assert.Equal(t, int32(4), asked.Load(), "so many goroutines are held by the disk at most")
		time.Sleep(time.Hour) // until the disk lets go of them
	})
}

var errNetwork = errors.New("the network is gone")

// brokenListener fails once.
type brokenListener struct{ *pipes }

func (brokenListener) Accept() (net.Conn, error) { return nil, errNetwork }

func TestAListenerThatBreaksIsAnError(t *testing.T) {
	s, err := api.New(api.Options{State: well})
	require.NoError(t, err)
	require.ErrorIs(t, s.Serve(t.Context(), brokenListener{newPipes()}), errNetwork)
}

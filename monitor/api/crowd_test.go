package api_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
)

// open asks for something over a connection of its own and leaves it open.
func (r *rig) open(t testing.TB, path string) (net.Conn, *bufio.Reader) {
	conn, err := net.Dial("tcp", r.addr)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	require.NoError(t, conn.SetDeadline(time.Now().Add(60*time.Second)))
	_, err = fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: localhost\r\n\r\n", path)
	require.NoError(t, err)
	return conn, bufio.NewReader(conn)
}

// A thousand connections, some of them streams, some of which never read, change
// nothing for the one who reads.
func TestAThousandConnections(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Connections = 1200 })
	for i := range 1000 {
		switch {
		case i < 20: // never reads
			conn, _ := r.open(t, "/api/events?after=0")
			require.NoError(t, conn.(*net.TCPConn).SetReadBuffer(2048))
		case i < 120:
			conn, from := r.open(t, "/api/events?after=0")
			go func() { _, _ = io.Copy(io.Discard, from); _ = conn.Close() }()
		default:
			_, from := r.open(t, "/api/claims")
			answer, err := http.ReadResponse(from, nil)
			require.NoError(t, err)
			_, err = io.Copy(io.Discard, answer.Body)
			require.NoError(t, err)
			assert.Equal(t, 200, answer.StatusCode)
			assert.False(t, answer.Close, "it is kept open")
		}
	}
	require.Eventually(t, func() bool { return r.Streams() == 120 }, 30*time.Second, time.Millisecond)
	f := r.follow(t, "?after=0")
	last := int64(2 * api.RingEvents)
	r.publish(t, 1, last)
	f.wants(t, 1, last)
	assert.Empty(t, f.events)
	assert.Equal(t, 200, r.get(t, "/healthz").code)
	assert.Equal(t, string(lines(t, 1, 1000)), r.get(t, "/api/timeline").body)
}

// Beyond the bound connections are answered, but not kept, and get no stream.
func TestTooManyConnections(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Connections = 8 })
	for range 8 {
		_, from := r.open(t, "/api/claims")
		answer, err := http.ReadResponse(from, nil)
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, answer.Body)
		require.NoError(t, err)
		require.False(t, answer.Close)
	}
	for range 100 {
		_, from := r.open(t, "/healthz")
		answer, err := http.ReadResponse(from, nil)
		require.NoError(t, err)
		assert.Equal(t, 200, answer.StatusCode)
		_, err = io.ReadAll(from)
		require.NoError(t, err, "the server closes it")
		assert.True(t, answer.Close)
	}
	_, from := r.open(t, "/api/events")
	answer, err := http.ReadResponse(from, nil)
	require.NoError(t, err)
	assert.Equal(t, 503, answer.StatusCode)
}

// What Publish does must not grow with the clients.
func TestPublishAllocatesTheSameForEverybody(t *testing.T) {
	r := start(t, nil)
	text := line(t, 1)
	n := int64(0)
	publish := func() { n++; r.Publish(n, text) }
	publish()
	assert.LessOrEqual(t, testing.AllocsPerRun(1000, publish), 1.0)
}

// Each event reaches everybody before the next is published, so that the time is
// that of Publish and not of the streams that share the processors with it.
func BenchmarkPublish(b *testing.B) {
	for _, streams := range []int{0, 1, 200} {
		b.Run(fmt.Sprintf("streams=%d", streams), func(b *testing.B) {
			r := start(b, nil)
			var read sync.WaitGroup
			for range streams {
				conn, from := r.open(b, "/api/events?after=0")
				go func() {
					defer func() { _ = conn.Close() }()
					for {
						text, err := from.ReadSlice('\n')
						if err != nil {
							return
						}
						if bytes.HasPrefix(text, []byte("data: ")) {
							read.Done()
						}
					}
				}()
			}
			require.Eventually(b, func() bool { return r.Streams() == streams }, 30*time.Second, time.Millisecond)
			text, n := line(b, 1), int64(0)
			var took time.Duration
			for b.Loop() {
				n++
				read.Add(streams)
				begun := time.Now()
				r.Publish(n, text)
				took += time.Since(begun)
				read.Wait()
			}
			b.ReportMetric(float64(took.Nanoseconds())/float64(n), "publish-ns/op")
		})
	}
}

package metrics_test

import (
	"net/http"
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/state"
)

func scrape(h http.Handler, accept string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, "/metrics", nil)
	r.Header.Set("Accept", accept)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestHandlerSpeaksBothFormats(t *testing.T) {
	s := moment(t, "testdata/hearing.json")
	h := metrics.Handler(func() state.State { return s })
	for accept, kind := range map[string]string{
		"text/plain": "text/plain; version=0.0.4",
		"application/openmetrics-text; version=1.0.0": "application/openmetrics-text; version=1.0.0",
	} {
		w := scrape(h, accept)
		assert.Equal(t, http.StatusOK, w.Code)
		assert.Contains(t, w.Header().Get("Content-Type"), kind)
		for _, name := range []string{`benchproof_tap_up{tap="main"} 1`, "go_goroutines ", "go_info{"} {
			assert.Contains(t, w.Body.String(), "\n"+name, accept)
		}
	}
}

// Two taps of one name can't both be shown; the rest of the bench still is, and
// the failure is counted.
func TestOneBadMetricDoesNotHideTheOthers(t *testing.T) {
	s := state.State{Taps: []state.Tap{{Name: "main"}, {Name: "main"}}, Recorder: state.Recorder{Recording: true}}
	h := metrics.Handler(func() state.State { return s })
	assert.Contains(t, scrape(h, "").Body.String(), "\nbenchproof_recorder_recording 1\n")
	again := scrape(h, "")
	assert.Equal(t, http.StatusOK, again.Code)
	assert.Contains(t, again.Body.String(), `promhttp_metric_handler_errors_total{cause="gathering"} 1`)
}

// Many scrape while the bench goes on; each answer is of one moment.
func TestConcurrentScrapes(t *testing.T) {
	base := moment(t, "testdata/hearing.json")
	var n atomic.Int64
	h := metrics.Handler(func() state.State {
		s := base
		s.Taps = append([]state.Tap(nil), base.Taps...)
		s.Seq = n.Add(1)
		s.Taps[0].Frames = s.Seq
		return s
	})
	var all sync.WaitGroup
	var bodies [8]string
	for i := range bodies {
		all.Go(func() {
			for range 10 {
				bodies[i] = scrape(h, "text/plain").Body.String()
			}
		})
	}
	all.Wait()
	for _, body := range bodies {
		got := samples(body)
		require.NotEmpty(t, got["benchproof_events_total"])
		assert.Equal(t, got["benchproof_events_total"], got[`benchproof_frames_total{tap="main"}`])
	}
	assert.EqualValues(t, 80, n.Load())
}

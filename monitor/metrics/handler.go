package metrics

import (
	"net/http"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"benchproof.example/monitor/state"
)

// Handler answers scrapes with the bench, the Go runtime and the process, as
// OpenMetrics to those who ask for it. A metric that can't be shown is left out
// and counted in promhttp_metric_handler_errors_total; the others are shown.
func Handler(snapshot func() state.State) http.Handler {
	registry := prometheus.NewRegistry()
	registry.MustRegister(New(snapshot), collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return promhttp.HandlerFor(registry, promhttp.HandlerOpts{
		Registry:          registry,
		ErrorHandling:     promhttp.ContinueOnError,
		EnableOpenMetrics: true,
	})
}

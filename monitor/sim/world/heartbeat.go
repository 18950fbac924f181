package world

// heartbeat is a slow sawtooth that the transmitter puts on a channel by
// itself, so that a listener can tell held values from a quiet bench.
type heartbeat struct{ plan *heartbeatPlan }

func (h heartbeat) width(now int64) int64 {
	// In whole microseconds of time, so that the product fits.
	return h.plan.low + (h.plan.high-h.plan.low)*(now%h.plan.every/us)/(h.plan.every/us)
}

package world

// HeartbeatPlan is the sawtooth: its lowest and highest width, ns, and how long one tooth lasts, ns.
type HeartbeatPlan struct{ Low, High, Every int64 }

// heartbeat is a slow sawtooth that the transmitter puts on a channel by
// itself, so that a listener can tell held values from a quiet bench.
type heartbeat struct{ plan *HeartbeatPlan }

func (h heartbeat) width(now int64) int64 {
	// In whole microseconds of time, so that the product fits.
	return h.plan.Low + (h.plan.High-h.plan.Low)*(now%h.plan.Every/us)/(h.plan.Every/us)
}

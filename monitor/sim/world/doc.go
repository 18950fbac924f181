// Package world is the simulated bench: a transmitter with hands on it, the
// radio link, receivers, their servo buses and servo leads, and the adapters that
// bring them to a computer. It knows what hangs on a wire and nothing of what
// listens there.
//
// A Plan is what stands on the bench and what happens there, as plain data. NewPlan,
// NewReceiverPlan, NewBoardPlan and NewOutputPlan have what is common; package script
// reads plans from text, and its introduction says what each setting means.
//
// A Sim is pure and seeded: the same plan and seed give the same deliveries,
// nanosecond by nanosecond. Play paces a Sim in real time; PTYs give it
// pseudo-terminals to play on.
//
// A harness that drives the hands calls Sim.Advance for what happens up to a moment
// and Sim.Do for what the hands do from there. The same calls of Do with the same seed
// give the same deliveries, whatever the steps of Advance between them.
package world

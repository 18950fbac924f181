package world

// cutoffPlan is a throttle cut: while it is on, the channel stands at a width
// whatever the stick does. Widths are ns.
type cutoffPlan struct {
	channel int
	width   int64
	ignored bool // by a fault
}

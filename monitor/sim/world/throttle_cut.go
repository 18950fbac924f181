package world

// CutoffPlan is a throttle cut: while it is on, the channel stands at a width
// whatever the stick does. Widths are ns.
type CutoffPlan struct {
	Channel int
	Width   int64
	Ignored bool // by a fault
}

package world

// computerName is what truths about the computer are about.
const computerName = "computer"

// readLen is what one read of a port gives at most, bytes (an assumption).
const readLen = 4096

// stall has the computer not read up to a moment: what is on its way then comes all
// at once.
func (o *outlet) stall(until int64) {
	o.until, o.last = max(o.until, until), max(o.last, until)
	waiting := o.queue
	o.queue = nil
	for _, d := range waiting {
		o.put(d)
	}
}

// joins adds characters that were kept waiting by a stall to those before them, as
// one read gives them, and reports whether it did.
func (o *outlet) joins(d *Delivery) bool {
	if d.At != o.until || d.Kind != Data || len(o.queue) == 0 {
		return false
	}
	before := &o.queue[len(o.queue)-1]
	if before.At != d.At || before.Kind != Data || before.Bad != d.Bad || len(before.Data)+len(d.Data) > readLen {
		return false
	}
	before.Data = append(before.Data, d.Data...)
	return true
}

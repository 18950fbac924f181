package world

// DeliveryKind says what a Delivery is.
type DeliveryKind uint8

// The kinds of delivery.
const (
	Data      DeliveryKind = iota + 1 // characters
	Unplugged                         // the adapter is gone
	Plugged                           // the adapter is back
)

func (k DeliveryKind) String() string {
	switch k {
	case Data:
		return "data"
	case Unplugged:
		return "unplugged"
	case Plugged:
		return "plugged"
	}
	return "unknown"
}

// Delivery is what an adapter hands to its computer at one moment.
type Delivery struct {
	At   int64 // ns since the start
	Tap  int   // index into Plan.TapNames
	Kind DeliveryKind
	Data []byte // the receiver's to keep; empty unless Kind is Data
	// Bad says that at least one character of Data failed its parity check.
	// Adapters flag a whole packet, so the good characters beside it are
	// marked as well.
	Bad bool
}

// outlet queues what an adapter is about to hand over. Dates never decrease.
type outlet struct {
	tap   int
	queue []Delivery
	last  int64 // the latest date given
	until int64 // what comes before is handed over then: the computer does not read
}

func (o *outlet) put(d Delivery) {
	d.Tap, d.At = o.tap, max(d.At, o.last)
	if o.joins(&d) {
		return
	}
	o.last = d.At
	o.queue = append(o.queue, d)
}

// head is the date of the next delivery, or never.
func (o *outlet) head() int64 {
	if len(o.queue) == 0 {
		return Never
	}
	return o.queue[0].At
}

func (o *outlet) take() Delivery {
	d := o.queue[0]
	o.queue = o.queue[1:]
	return d
}

// lose forgets what was not handed over by now.
func (o *outlet) lose(now int64) { o.queue, o.last = nil, max(now, o.until) }

package linefault

import "benchproof.example/decode/bus"

// Stretch is how much of a line is judged at once, ns: the tables were made for it.
const Stretch = 1_500_000_000

// leastStretch is how much there must be behind the last whole one to be judged too, ns.
const leastStretch = Stretch / 2

// Listener judges a line stretch by stretch, and keeps what most of them show. It is for
// lines that are listened to from beginning to end.
type Listener struct {
	protocol *bus.Protocol
	framer   bus.Framer
	framed   func(*bus.Found)
	heard    Heard
	since    int64     // ns
	samples  []*sample // of all stretches
	vote     vote
}

// NewListener makes one that listens from a date on, ns.
func NewListener(p *bus.Protocol, from int64) *Listener {
	l := &Listener{protocol: p, framer: p.NewFramer(), since: from}
	l.framed = func(*bus.Found) { l.heard.Framed += int64(p.FrameLen) }
	return l
}

// Feed takes a read, as Heard.Feed does.
func (l *Listener) Feed(p []byte, at int64, marked bool) {
	l.Until(at)
	l.heard.Feed(p, at, marked)
	l.framer.Feed(p, at, marked, l.framed)
}

// Lost says that the port lost characters.
func (l *Listener) Lost(n int64) { l.heard.Lost += n }

// Until says that nothing more came up to a date, ns.
func (l *Listener) Until(at int64) {
	for at-l.since >= Stretch {
		l.judge(Stretch)
	}
}

// End ends the last stretch at a date, ns, and gives what most stretches show, as sure as
// they are on average, and the evidence of all that do.
func (l *Listener) End(at int64) (Finding, []string) {
	l.Until(at)
	if at-l.since >= leastStretch || len(l.samples) == 0 {
		l.judge(max(at-l.since, 1))
	}
	r := l.vote.winner()
	return r.mean(), r.heard.Evidence(r.span)
}

func (l *Listener) judge(span int64) {
	s := l.heard.sample(span)
	l.samples = append(l.samples, s)
	r := l.vote.add(s.judge(l.protocol.Name, nil))
	r.heard.add(&l.heard)
	r.span += span
	l.since += span
	l.heard = Heard{}
}

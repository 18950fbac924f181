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
	since    int64 // ns
	results  []result
}

// result is what stretches show.
type result struct {
	finding  Finding
	evidence []string
	times    int
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

// End ends the last stretch at a date, ns, and gives what most stretches show, and the
// evidence of the latest that does. That nothing came is less than what did for as long.
func (l *Listener) End(at int64) (Finding, []string) {
	l.Until(at)
	if at-l.since >= leastStretch || len(l.results) == 0 {
		l.judge(max(at-l.since, 1))
	}
	best := 0
	for i := range l.results {
		r, b := &l.results[i], &l.results[best]
		if r.times > b.times || r.times == b.times && b.finding.Cause == Nothing {
			best = i
		}
	}
	return l.results[best].finding, l.results[best].evidence
}

func (l *Listener) judge(span int64) {
	f, evidence := Judge(l.protocol.Name, &l.heard, span), l.heard.Evidence(span)
	l.since += span
	l.heard = Heard{}
	for i := range l.results {
		if r := &l.results[i]; r.finding.Cause == f.Cause && r.finding.Detail == f.Detail {
			r.finding, r.evidence = f, evidence
			r.times++
			return
		}
	}
	l.results = append(l.results, result{f, evidence, 1})
}

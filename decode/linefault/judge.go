package linefault

// Finding is what Judge found.
type Finding struct {
	Cause  Cause
	Detail string // of Rate: how the port reads, or the line is sent, such as "port 115200 8N1"
	Sure   int    // of a hundred
	Or     Cause  // the next likely
	OrSure int    // of a hundred
}

const (
	// guessing is the cost of telling the classes of all features by chance.
	guessing = 4 * 4 * features
	// noneGains is how much less than guessing none of the causes costs: a cause must
	// explain more than that.
	noneGains = 110
	// dilution is by how much the costs of features that go together are taken too often.
	dilution = 5
	// mostSure is as sure as one line can make.
	mostSure = 97
	// lostMany is the share of characters, one of so many, that no port loses that works.
	lostMany = 20
)

// Judge says why no frame of a protocol can be read from what was heard in a time, ns.
func Judge(protocol string, h *Heard, span int64) Finding {
	return h.sample(span).judge(protocol, nil)
}

// sample is what a stretch is judged by.
type sample struct {
	chars, marked, framed, lost int64
	features                    [features]uint8
}

// sample is what was heard in a time, ns, as it is judged.
func (h *Heard) sample(span int64) *sample {
	return &sample{h.Chars, h.Marked, h.Framed, h.Lost, h.featuresOf(span)}
}

// judge says why no frame can be read. out are the hypotheses that are ruled out, by their
// places in the tables; nil for none.
func (s *sample) judge(protocol string, out []bool) Finding {
	switch {
	case s.lost*lostMany > s.chars:
		return Finding{Cause: Driver, Detail: "-", Sure: mostSure}
	case s.chars == 0:
		return Finding{Cause: Nothing, Detail: "-", Sure: mostSure}
	}
	var least [Causes]int
	var detail [Causes]string
	for c := range least {
		least[c] = unlikely
	}
	least[None], detail[None] = guessing-noneGains, "-"
	framed := 10*s.framed >= 9*s.chars
	if framed {
		least[None] = unlikely
	}
	list := tables()
	for i := range list {
		if out != nil && out[i] {
			continue
		}
		if t := &list[i]; t.protocol == protocol && (!framed || s.leavesFrames(t.cause)) {
			if cost := t.cost(&s.features); cost < least[t.cause] {
				least[t.cause], detail[t.cause] = cost, t.detail
			}
		}
	}
	return weigh(&least, &detail)
}

// leavesFrames reports a cause that leaves nearly all characters part of frames: its bits are
// right, whatever else such a line looks like. With another parity many are marked all the same.
func (s *sample) leavesFrames(c Cause) bool {
	if 5*s.marked >= s.chars {
		return c == Parity
	}
	return c == Healthy || c == Clumps
}

// unlikely is a cost that no features have.
const unlikely = 1 << 20

// weigh makes a finding of what the causes cost.
func weigh(least *[Causes]int, detail *[Causes]string) Finding {
	first, second := None, None
	for c := range Causes {
		if least[c] < least[first] {
			first = c
		}
	}
	var sum, next int
	for c := range Causes {
		w := weight(least[c] - least[first])
		sum += w
		if c != first && w > next {
			second, next = c, w
		}
	}
	return Finding{
		Cause: first, Detail: detail[first], Sure: min(100*weight(0)/sum, mostSure),
		Or: second, OrSure: 100 * next / sum,
	}
}

// weight is 2^(-cost/4/dilution) in parts of 65536.
func weight(cost int) int {
	// 65536·2^(-i/20)
	steps := [4 * dilution]int{
		65536, 63304, 61147, 59064, 57052, 55109, 53232, 51419, 49667, 47975,
		46341, 44762, 43238, 41765, 40342, 38968, 37641, 36358, 35120, 33923,
	}
	if cost >= 16*len(steps) {
		return 0
	}
	return steps[cost%len(steps)] >> (cost / len(steps))
}

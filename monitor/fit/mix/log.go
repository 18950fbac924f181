package mix

import (
	"slices"

	"benchproof.example/monitor/unit"
)

const (
	longestDelay = 150 * unit.Millisecond // from bus to pulse
	history      = longestDelay + 10*unit.Millisecond
	episodeLasts = 240 * unit.Millisecond
	frameApart   = 5 * unit.Millisecond  // frames that come faster are thinned
	pulseApart   = 15 * unit.Millisecond // so are pulses
	pauseBreaks  = 100 * unit.Millisecond
	recentKept   = 33    // frames: history at frameApart
	pulsesKept   = 12    // of each output in an episode
	episodesKept = 64    // so never more than 768 samples of an output
	moving       = 4_000 // ns that a channel moves to count as moving: more than a step or two of the bus
	regions      = 4     // of a channel's range, over which episodes are spread
)

// MaxOutputs is the highest output number that a log keeps pulses of.
const MaxOutputs = 32

// Log collects movement for the outputs that one bus moves.
type Log struct {
	Channels []Channel `json:"channels"`

	Recent   []int64      `json:"recent"` // the latest frames: date, then the widths
	Ref      []unit.Width `json:"ref"`    // widths when something moved last
	Movement unit.Time    `json:"stir"`   // date of that; 0: never
	Least    []unit.Width `json:"least"`  // of each channel
	Most     []unit.Width `json:"most"`

	Opened bool        `json:"opened"` // an episode is being taken
	Open   openEpisode `json:"open"`
	Kept   []Episode   `json:"kept"`  // by date
	Count  int64       `json:"count"` // episodes that were ever kept

	room  room     // of a fit
	trial room     // of a delay that it tries
	list  []sample // those of a fit
}

// openEpisode is an episode while it is taken. Dates are ns.
type openEpisode struct {
	At     unit.Time       `json:"at"`     // from when its pulses are
	Frames []unit.Duration `json:"frames"` // dates of the frames, from At
	Widths []unit.Width    `json:"widths"` // of all channels, frame by frame
	Pulses []openPulse     `json:"pulses"`
}

// openPulse is one pulse of an episode that is taken.
type openPulse struct {
	Output int           `json:"output"`
	Rise   unit.Duration `json:"rise"` // from taken.At
	Width  unit.Width    `json:"width"`
	Number int           `json:"number"` // of those of this output, from 1
}

// Begin starts afresh with these channels.
func (l *Log) Begin(channels []Channel) { *l = Log{Channels: channels} }

// Break says that frames before and after do not belong together.
func (l *Log) Break() {
	l.Recent, l.Opened, l.Movement = l.Recent[:0], false, 0
}

// Moved is how far a channel, by its index, has gone since Begin, ns.
func (l *Log) Moved(i int) unit.Width {
	if len(l.Most) == 0 {
		return 0
	}
	return l.Most[i] - l.Least[i]
}

// Frame takes the widths of the log's channels as they were on the bus at a time.
func (l *Log) Frame(at unit.Time, widths []unit.Width) {
	row := 1 + len(l.Channels)
	if n := len(l.Recent); n > 0 {
		switch passed := at.Sub(unit.Time(l.Recent[n-row])); {
		case passed > pauseBreaks || passed < 0:
			l.Break()
		case passed < frameApart:
			return
		}
	}
	l.reach(widths)
	l.movement(at, widths)
	if len(l.Recent) == recentKept*row {
		l.Recent = l.Recent[:copy(l.Recent, l.Recent[row:])]
	}
	l.Recent = append(l.Recent, int64(at))
	for _, w := range widths {
		l.Recent = append(l.Recent, int64(w))
	}
	l.episode(at, widths)
}

func (l *Log) reach(widths []unit.Width) {
	if len(l.Least) == 0 {
		l.Least, l.Most = slices.Clone(widths), slices.Clone(widths)
	}
	for i, w := range widths {
		l.Least[i], l.Most[i] = min(l.Least[i], w), max(l.Most[i], w)
	}
}

func (l *Log) movement(at unit.Time, widths []unit.Width) {
	if len(l.Ref) == 0 {
		l.Ref = slices.Clone(widths)
	}
	for i, w := range widths {
		if w-l.Ref[i] >= moving || l.Ref[i]-w >= moving {
			l.Movement = at
			copy(l.Ref, widths)
			return
		}
	}
}

// episode goes on with the one under way, or begins one when something moves.
func (l *Log) episode(at unit.Time, widths []unit.Width) {
	if l.Opened && at.Sub(l.Open.At) > episodeLasts {
		l.close()
	}
	switch {
	case l.Opened:
		l.Open.Frames = append(l.Open.Frames, at.Sub(l.Open.At))
		l.Open.Widths = append(l.Open.Widths, widths...)
	case l.Movement != 0 && at.Sub(l.Movement) <= history:
		l.open(at)
	}
}

func (l *Log) open(at unit.Time) {
	e := &l.Open
	l.Opened, e.At = true, at
	e.Frames, e.Widths, e.Pulses = e.Frames[:0], e.Widths[:0], e.Pulses[:0]
	for i, row := 0, 1+len(l.Channels); i < len(l.Recent); i += row {
		e.Frames = append(e.Frames, unit.Time(l.Recent[i]).Sub(at))
		for _, w := range l.Recent[i+1 : i+row] {
			e.Widths = append(e.Widths, unit.Width(w))
		}
	}
}

// Pulse takes a pulse of an output.
func (l *Log) Pulse(output int, rise unit.Time, width unit.Width) {
	e := &l.Open
	if !l.Opened || rise < e.At || rise.Sub(e.At) > episodeLasts || output < 1 || output > MaxOutputs {
		return
	}
	after, number := rise.Sub(e.At), 1
	if last := e.last(output); last != nil {
		if after-last.Rise < pulseApart {
			return
		}
		number = last.Number + 1
	}
	if number <= pulsesKept {
		e.Pulses = append(e.Pulses, openPulse{output, after, width, number})
	}
}

// last is the latest pulse of an output, nil if there is none.
func (e *openEpisode) last(output int) *openPulse {
	for i := len(e.Pulses) - 1; i >= 0; i-- {
		if e.Pulses[i].Output == output {
			return &e.Pulses[i]
		}
	}
	return nil
}

// close keeps the episode under way, if an output was heard in it.
func (l *Log) close() {
	l.Opened = false
	if len(l.Open.Pulses) == 0 {
		return
	}
	if len(l.Kept) == episodesKept {
		l.drop()
	}
	l.Kept = append(l.Kept, l.compact())
	l.Count++
}

// compact is the episode under way with only the channels that changed in it.
func (l *Log) compact() Episode {
	o, n := &l.Open, len(l.Channels)
	e := Episode{At: o.At, Base: slices.Clone(o.Widths[:n])}
	farthest := unit.Width(0)
	for c := range n {
		least, most := e.Base[c], e.Base[c]
		for i := c; i < len(o.Widths); i += n {
			least, most = min(least, o.Widths[i]), max(most, o.Widths[i])
		}
		if most > least {
			e.Moved = append(e.Moved, c)
		}
		if most-least > farthest {
			farthest = most - least
			e.Key = c*regions + l.region(c, (least+most)/2)
		}
	}
	e.Frames = make(triples, 0, 3*len(o.Frames))
	e.Widths = make(triples, 0, 3*len(o.Frames)*len(e.Moved))
	for i, at := range o.Frames {
		e.Frames.add(int64((at + framesFrom) / unit.Microsecond))
		for _, c := range e.Moved {
			e.Widths.add(int64(o.Widths[i*n+c]))
		}
	}
	e.Pulses = make(triples, 0, 9*len(o.Pulses))
	for _, p := range o.Pulses {
		e.Pulses.add(int64(p.Output))
		e.Pulses.add(int64(p.Rise / unit.Microsecond))
		e.Pulses.add(int64(p.Width))
	}
	return e
}

// region is the part of a channel's range in which a width lies.
func (l *Log) region(c int, width unit.Width) int {
	return int((width - l.Least[c]) * regions / (l.Most[c] - l.Least[c] + 1))
}

// drop makes room: the oldest goes of what there is most of.
func (l *Log) drop() {
	count := make([]int, len(l.Channels)*regions)
	most := l.Kept[0].Key
	for i := range l.Kept {
		k := l.Kept[i].Key
		if count[k]++; count[k] > count[most] {
			most = k
		}
	}
	oldest := slices.IndexFunc(l.Kept, func(e Episode) bool { return e.Key == most })
	l.Kept = slices.Delete(l.Kept, oldest, oldest+1)
}

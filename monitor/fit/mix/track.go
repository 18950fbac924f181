package mix

import "benchproof.example/monitor/unit"

// track is an episode as fits read it, over and over: unpacked, and µs from the neutrals.
type track struct {
	dates  []int64   // of the frames, µs, ascending, from the episode's date less framesFrom
	base   []float64 // of all channels with the first frame
	moved  []int     // indexes of those that changed
	moves  []float64 // of those, frame by frame
	widths triples   // the same, ns
}

// track is that of an episode, made when it is first asked for.
func (l *Log) track(e *Episode) *track {
	if e.track == nil {
		e.track = l.unpack(e)
	}
	return e.track
}

func (l *Log) unpack(e *Episode) *track {
	n := len(e.Moved)
	k := &track{moved: e.Moved, widths: e.Widths, dates: make([]int64, e.Frames.count()), moves: make([]float64, e.Widths.count())}
	k.base = make([]float64, len(l.Channels))
	for c := range k.base {
		k.base[c] = float64(e.Base[c]-l.Channels[c].Neutral) / 1000
	}
	for i := range k.dates {
		k.dates[i] = e.Frames.at(i)
		for j, c := range e.Moved {
			k.moves[i*n+j] = float64(unit.Width(e.Widths.at(i*n+j))-l.Channels[c].Neutral) / 1000
		}
	}
	return k
}

// width is that of the jth channel that moved, with a frame, ns.
func (k *track) width(frame, j int) int64 { return k.widths.at(frame*len(k.moved) + j) }

// frame is the index of the frame that had come last at a date, ns from the
// episode's; the first if none had. It is looked for from a guess on.
func (k *track) frame(at unit.Duration, guess int) int {
	micros := int64((at + framesFrom) / unit.Microsecond)
	i := guess
	for i+1 < len(k.dates) && k.dates[i+1] <= micros {
		i++
	}
	for i > 0 && k.dates[i] > micros {
		i--
	}
	return i
}

// row puts all channels into a row, as they were with a frame.
func (k *track) row(row []float64, frame int) {
	copy(row, k.base)
	moves := k.moves[frame*len(k.moved):]
	for j, c := range k.moved {
		row[c] = moves[j]
	}
}

package waveform

import (
	"fmt"
	"strings"
)

// find is the signal of one bit that a name means.
func find(signals []Signal, name string) (*Signal, error) {
	var fitting []*Signal
	for fits := range levels {
		if fitting = match(signals, name, fits); len(fitting) > 0 {
			break
		}
	}
	switch {
	case len(fitting) == 0:
		return nil, fmt.Errorf("found no signal %q; want %s", name, listSignals(near(signals, name)))
	case !oneLine(fitting):
		return nil, fmt.Errorf("found several signals %q; want one of them by a longer name: %s", name, listSignals(fitting))
	case fitting[0].Bits == 0:
		return nil, fmt.Errorf("found that %s has no levels (a real, a string or an event); want a signal of one bit: %s",
			fitting[0].Path(), listSignals(near(signals, name)))
	case fitting[0].Bits > 1:
		return nil, fmt.Errorf("found that %s has %d bits; want a signal of one bit: %s",
			fitting[0].Path(), fitting[0].Bits, listSignals(near(signals, name)))
	}
	return fitting[0], nil
}

// levels is how many ways of naming fits knows; the earlier wins.
const levels = 3

// match lists the signals that a name fits.
func match(signals []Signal, name string, level int) (out []*Signal) {
	for i := range signals {
		if fits(&signals[i], name, level) {
			out = append(out, &signals[i])
		}
	}
	return out
}

// fits reports whether a name is a signal's whole path (0), the end of it behind
// a dot (1), or that without the index (2).
func fits(s *Signal, name string, level int) bool {
	path := s.Path()
	if level == 2 {
		path = withoutIndex(path)
	}
	return path == name || level > 0 && strings.HasSuffix(path, "."+name)
}

func withoutIndex(path string) string {
	if i := strings.LastIndexByte(path, '['); i > 0 && strings.HasSuffix(path, "]") {
		return path[:i]
	}
	return path
}

// oneLine: names of one line mean the same.
func oneLine(signals []*Signal) bool {
	for _, s := range signals {
		if s.line != signals[0].line {
			return false
		}
	}
	return true
}

// near lists the signals of one bit that a name might mean: those which contain
// it or lie in it, or all where none does.
func near(signals []Signal, name string) (out []*Signal) {
	name = strings.ToLower(name)
	last := name[strings.LastIndexByte(name, '.')+1:]
	var all []*Signal
	for i := range signals {
		s := &signals[i]
		if s.Bits != 1 {
			continue
		}
		all = append(all, s)
		lower := strings.ToLower(withoutIndex(s.Name))
		if last != "" && (strings.Contains(lower, last) || strings.Contains(last, lower)) {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return all
	}
	return out
}

// listSignals names signals for a sentence, the first few of them.
func listSignals(signals []*Signal) string {
	var names []string
	for _, s := range signals {
		names = append(names, s.Path())
	}
	return Listed(names)
}

// Listed joins names for a sentence, the first few of them.
func Listed(names []string) string {
	const most = 8
	switch {
	case len(names) == 0:
		return "a file with signals of one bit"
	case len(names) > most:
		return fmt.Sprintf("%s or one of %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// Names are the paths of the signals of one bit that can be selected by them:
// each line once, by its first name.
func Names(signals []Signal) (names []string) {
	seen := map[int]bool{}
	for i := range signals {
		if s := &signals[i]; s.Bits == 1 && !seen[s.line] {
			seen[s.line] = true
			names = append(names, s.Path())
		}
	}
	return names
}

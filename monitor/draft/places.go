package draft

import (
	"cmp"
	"slices"

	"benchproof.example/monitor/unit"
)

const (
	placeFor               = 500 * unit.Millisecond // a lever that is pushed over a place stays there for less
	placesApart unit.Width = 4_000                  // ns: widths that are nearer to each other are one place
	fewWidths              = 3                      // passed by a switch, beside its places
)

// Place is where a control comes to stand, with its doubt.
type Place struct {
	Name   string
	Width  unit.Width // the middle one of those at which it stood
	Spread unit.Width // from the least to the most of them
	Times  int        // how often it stood there
}

// placesOf clusters stands: widths with no gap between them are one place. The places come in the order in
// which they were come to last: what was flipped before a switch was put through them does not count.
func placesOf(stands []Stand, long unit.Duration) (list []Place) {
	type cluster struct {
		last   unit.Time // it was come to
		widths []unit.Width
	}
	var those []Stand
	for _, s := range stands {
		if s.lasted() >= long {
			those = append(those, s)
		}
	}
	slices.SortFunc(those, func(a, b Stand) int { return cmp.Compare(a.Width, b.Width) })
	var clusters []cluster
	for i, s := range those {
		if i == 0 || s.Width-those[i-1].Width > placesApart {
			clusters = append(clusters, cluster{})
		}
		c := &clusters[len(clusters)-1]
		c.last, c.widths = max(c.last, s.From), append(c.widths, s.Width)
	}
	slices.SortFunc(clusters, func(a, b cluster) int { return cmp.Compare(a.last, b.last) })
	for _, c := range clusters {
		list = append(list, placeOf(c.widths))
	}
	return list
}

// placeOf is the place of sorted widths: the mean of the inner half of them.
func placeOf(widths []unit.Width) Place {
	n := len(widths)
	inner := widths[n/4 : n-n/4]
	var sum unit.Width
	for _, w := range inner {
		sum += w
	}
	return Place{Width: sum / unit.Width(len(inner)), Spread: widths[n-1] - widths[0], Times: n}
}

// switched are the places of a channel that jumps from one to the next; nil for one that moves smoothly.
func (t *Track) switched() []Place {
	list := placesOf(t.Stands, placeFor)
	if t.smooth() > len(list)+fewWidths {
		return nil
	}
	return list
}

package sheet

import (
	"slices"
	"strings"
)

// assumptions reads the paths of keys whose values nobody measured or said.
func (r *reader) assumptions(n *node) {
	for _, item := range r.list(n) {
		path, ok := r.text(item)
		if !ok {
			continue
		}
		if steps := strings.Split(path, "."); !slices.ContainsFunc(keys, func(k Key) bool { return k.Path == path || k.leadsTo(steps) }) {
			r.refuse(item, quote(path)+", which is no key of a sheet", "the path of a key from the top, such as failsafe.within or channels.14.pressed,")
			continue
		}
		r.sheet.Assumed = append(r.sheet.Assumed, path)
	}
}

// Assumes reports that a value is assumed: that of a key by its path, or of any key below a path that ends in a point.
func (s *Sheet) Assumes(path string) bool {
	return slices.ContainsFunc(s.Assumed, func(a string) bool {
		return a == path || strings.HasSuffix(path, ".") && strings.HasPrefix(a, path)
	})
}

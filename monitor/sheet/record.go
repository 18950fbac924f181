package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// record is a table with a fixed set of keys.
type record struct {
	r    *reader
	at   *node
	what string // as in "found channel 3 without ..."
	keys map[string]entry
	none bool // it is no table, which was reported: nothing is missing then
}

// record reads a table and refuses keys other than the known ones. A nil node
// was reported where it was asked for.
func (r *reader) record(n *node, what string, known ...string) *record {
	rec := &record{r: r, at: n, what: what, keys: map[string]entry{}}
	if n == nil || n.shape == refused {
		rec.none = true
		return rec
	}
	if n.shape != table {
		r.refuse(n, fmt.Sprintf("%s for %s", n.describe(), what), "a set of keys ("+strings.Join(known, ", ")+")")
		rec.none = true
		return rec
	}
	for _, e := range n.entries {
		if !slices.Contains(known, e.key.text) {
			r.refuse(e.key, fmt.Sprintf("the unknown key %s in %s", quote(e.key.text), what), suggest(e.key.text, known))
			continue
		}
		rec.keys[e.key.text] = e
	}
	return rec
}

// only refuses keys that are known but don't fit here, after what the record
// turned out to be.
func (rec *record) only(what string, fitting ...string) {
	if rec.none {
		return
	}
	want := oneOf(fitting)
	if len(fitting) == 1 {
		want += " alone"
	}
	for _, e := range rec.at.entries {
		if _, known := rec.keys[e.key.text]; known && !slices.Contains(fitting, e.key.text) {
			rec.r.refuse(e.key, fmt.Sprintf("the key %s, which %s does not have", quote(e.key.text), what), want)
		}
	}
}

// maybe is the value of a key, nil when the key is not there.
func (rec *record) maybe(key string) *node { return rec.keys[key].value }

// need is the value of a key; a missing one is reported with an example.
func (rec *record) need(key, example string) *node {
	if e, ok := rec.keys[key]; ok {
		return e.value
	}
	if !rec.none {
		rec.r.refuse(rec.at, fmt.Sprintf("%s without the key %s", rec.what, key), key+": "+example)
	}
	return nil
}

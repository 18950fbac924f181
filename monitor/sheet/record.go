package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// record is a section: a table with the keys that the rows below its own have.
type record struct {
	r    *reader
	at   *node
	what string // as in "found channel 3 without ..."
	row  *Key
	keys map[string]entry
	none bool // it is no table, which was reported: nothing is missing then
}

// record reads a section and refuses keys without a row. A nil node was reported where
// it was asked for.
func (r *reader) record(n *node, what string) *record {
	rec := &record{r: r, at: n, what: what, keys: map[string]entry{}}
	if n == nil || n.shape == refused {
		rec.none = true
		return rec
	}
	rec.row = n.row
	known := words(below[n.row.Path])
	if n.shape != table {
		r.refuse(n, fmt.Sprintf("%s for %s", n.describe(), what), "a set of keys ("+strings.Join(known, ", ")+")")
		rec.none = true
		return rec
	}
	for _, e := range n.entries {
		if row := older[n.row.under(e.key.text)]; row != nil {
			e.follow(row)
			rec.older(e, row)
			continue
		}
		if !slices.Contains(known, e.key.text) {
			e.key.row = n.row // the section's: it says which keys there are
			r.refuse(e.key, fmt.Sprintf("the unknown key %s in %s", quote(e.key.text), what), suggest(e.key.text, known))
			continue
		}
		e.follow(rows[n.row.under(e.key.text)])
		rec.keys[e.key.text] = e
	}
	return rec
}

// older takes a key by the word that older sheets have for it.
func (rec *record) older(e entry, row *Key) {
	if slices.ContainsFunc(rec.at.entries, func(other entry) bool { return other.key.text == row.Word() }) {
		rec.r.refuse(e.key, fmt.Sprintf("the key %s beside %s, which is the same", quote(e.key.text), row.Word()), "one of the two")
		return
	}
	rec.keys[row.Word()] = e
}

// only refuses keys that are known but don't fit here, after what the section turned
// out to be: the word of its kind or law.
func (rec *record) only(what, is string) {
	if rec.none {
		return
	}
	section := slices.DeleteFunc(slices.Clone(below[rec.row.Path]), func(k *Key) bool { return k.For != nil && !slices.Contains(k.For, is) })
	fitting := words(section)
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

// get is the value of a key. One that is not there is its row's default, else nil; that a
// required one is lacking is reported once, with an example.
func (rec *record) get(key string) *node {
	e, ok := rec.keys[key]
	if ok || rec.none {
		return e.value
	}
	row := rows[rec.row.under(key)]
	switch {
	case row.Required:
		want := key + ": " + row.Shown()
		if others := slices.DeleteFunc(slices.Clone(row.Words), func(w string) bool { return w == row.Example }); len(others) > 0 {
			want += " (or " + oneOf(others) + ")"
		}
		rec.r.refuse(rec.at, fmt.Sprintf("%s without the key %s", rec.what, key), want)
	case row.Default != "":
		e.value = rec.r.assumed(row, rec.at)
	}
	rec.keys[key] = e
	return e.value
}

// assumed is the default of a row that nobody wrote, as if it stood at a place.
func (r *reader) assumed(row *Key, at *node) *node {
	n := r.convert(r.parse(row.Default).Docs[0].Body, 0)
	n.line, n.column, n.assumed = at.line, at.column, true
	n.row, n.key = row, row.Word()
	return n
}

// entries are those of a table whose keys are the builder's own.
func (r *reader) entries(n *node) []entry {
	if n == nil || n.shape == refused {
		return nil
	}
	row := rows[n.row.under("*")]
	if n.shape != table || len(n.entries) == 0 {
		found := n.describe()
		if n.shape == table {
			found = "an empty set of keys"
		}
		want := "entries such as " + row.Entry()
		if !n.row.Required {
			want += ", or the key left out,"
		}
		r.refuse(n, found+" under "+n.key, want)
		return nil
	}
	for _, e := range n.entries {
		e.follow(row)
	}
	return n.entries
}

// list are the items of a list.
func (r *reader) list(n *node) []*node {
	if n == nil || n.shape == refused {
		return nil
	}
	if n.shape != list || len(n.items) < int(n.row.Least) {
		found, want := n.found(), "a list such as "+n.row.Shown()
		if n.shape == list {
			found = "an empty list for " + n.key
		}
		if n.row.Least == 0 {
			want += ", or []"
		}
		r.refuse(n, found, want)
		return nil
	}
	for _, item := range n.items {
		item.row, item.key = n.row, n.key
	}
	return n.items
}

// pair reads a list of two values.
func (r *reader) pair(n *node, want string) (first, second *node, ok bool) {
	if n == nil || n.shape == refused {
		return nil, nil, false
	}
	if n.shape != list || len(n.items) != 2 {
		found := n.found()
		if n.shape == list {
			found = fmt.Sprintf("a list of %d for %s", len(n.items), n.key)
		}
		r.refuse(n, found, want)
		return nil, nil, false
	}
	for _, item := range n.items {
		item.row, item.key = n.row, n.key
	}
	return n.items[0], n.items[1], true
}

package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// Key is one key that a sheet may have. What the reader takes and asks for, what
// explain says, the remarks of the starter and the guide's tables come from these rows.
type Key struct {
	// Path leads to the key from the top, with points between: "taps.*.kind". "*" stands
	// for a name or number of the builder's; the items of a list are no step of their own.
	Path  string
	Older string // a word that older sheets have in place of the last step of its path; "": none
	Type  Type
	// Noun is what a sentence about a mistake calls the value; of a "*", what it calls the name.
	Noun        string
	Words       []string // of a TypeWord: those that may stand here
	Least, Most int64    // of a TypeCount; of a TypeTravel in ns; the fewest items of a TypeList. Both 0: the rest of the sheet bounds it
	Required    bool     // a section without it is refused
	For         []string // the words of the section's kind or law that have it; nil: all
	Default     string   // what holds where it is left out, as a sheet has it; "": nothing
	Own         string   // of a "*": an example of the builder's name
	Example     string   // as a sheet has it; "": made of those below
	Remark      string   // what it says, and where the builder finds it; one sentence or a few, without the last full stop
}

// Type is what stands behind a key, in the builder's words.
type Type string

// The types.
const (
	TypeKeys    Type = "a set of keys"             // those of the rows below
	TypeOwn     Type = "a set of keys of your own" // one row below, "*"
	TypeList    Type = "a list"
	TypeText    Type = "text"
	TypeName    Type = "a name" // letters, digits, - and _
	TypeWord    Type = "a word" // one of Words
	TypeCount   Type = "a whole number"
	TypeCounts  Type = "two whole numbers"
	TypeWidth   Type = "a width" // in microseconds, or in percent once the sheet says what that is
	TypeWidths  Type = "two widths"
	TypeTravel  Type = "a width in microseconds"
	TypeTime    Type = "a time"
	TypeShare   Type = "a share"
	TypeWeight  Type = "a number"
	TypeChannel Type = "a channel's name"
	TypePlace   Type = "a position's name"
	TypePreset  Type = "a preset"
)

// Table lists all keys, in the order in which a sheet has them.
func Table() []Key { return slices.Clone(keys) }

// rows finds a row by its path, and below those under a path in their order.
var rows, below = index(slices.Concat(keys, papersKeys()))

// older finds the row of a key by the path that older sheets have for it.
var older = olderOf(keys)

func olderOf(keys []Key) map[string]*Key {
	found := map[string]*Key{}
	for i := range keys {
		if k := &keys[i]; k.Older != "" {
			found[k.parent()+"."+k.Older] = k
		}
	}
	return found
}

func index(keys []Key) (rows map[string]*Key, below map[string][]*Key) {
	rows, below = map[string]*Key{}, map[string][]*Key{}
	for i := range keys {
		k := &keys[i]
		rows[k.Path] = k
		below[k.parent()] = append(below[k.parent()], k)
	}
	return rows, below
}

// under is the path of a key below this one.
func (k *Key) under(key string) string {
	if k.Path == "" {
		return key
	}
	return k.Path + "." + key
}

func (k *Key) parent() string { return k.Path[:max(0, strings.LastIndexByte(k.Path, '.'))] }

// Word is the key itself, the last step of its path.
func (k *Key) Word() string { return k.Path[strings.LastIndexByte(k.Path, '.')+1:] }

// words are the keys of a section.
func words(section []*Key) []string {
	list := make([]string, len(section))
	for i, k := range section {
		list[i] = k.Word()
	}
	return list
}

// Shown is an example of the key's value as a sheet has it.
func (k *Key) Shown() string {
	if k.Example != "" {
		return k.Example
	}
	under := below[k.Path]
	needed := slices.DeleteFunc(slices.Clone(under), func(u *Key) bool { return !u.Required || !u.fits() })
	if len(needed) == 0 {
		needed = under
	}
	parts := make([]string, len(needed))
	for i, u := range needed {
		parts[i] = u.Entry()
	}
	shown := "{" + strings.Join(parts, ", ") + "}"
	if k.Type == TypeList {
		return "[" + shown + "]"
	}
	return shown
}

// Entry is the key with its example, as a line of a sheet has it.
func (k *Key) Entry() string {
	if k.Own != "" {
		return k.Own + ": " + k.Shown()
	}
	return k.Word() + ": " + k.Shown()
}

// chooser is the row of the section whose word says whether the key belongs there.
func (k *Key) chooser() *Key {
	section := below[k.parent()]
	return section[slices.IndexFunc(section, func(u *Key) bool { return slices.Contains(u.Words, k.For[0]) })]
}

// fits reports that the key belongs to what the examples of its section make of it.
func (k *Key) fits() bool { return k.For == nil || slices.Contains(k.For, k.chooser().Example) }

// Form says what may stand behind the key and whether it must.
func (k *Key) Form() string {
	form := string(k.Type)
	switch {
	case k.Type == TypeWord:
		form = oneOf(k.Words)
	case k.Type == TypeCount && k.Most > k.Least:
		form += fmt.Sprintf(" from %d to %d", k.Least, k.Most)
	}
	if k.For != nil {
		form += "; with " + k.chooser().Word() + " " + strings.Join(k.For, ", ")
	}
	switch {
	case k.Required:
		form += "; required"
	case k.Default != "" && k.Default != "{}":
		form += "; left out: " + k.Default
	}
	return form
}

// Find lists the rows that a person may mean by a path, by one with names of a sheet in
// it ("channels.3.neutral"), or by the end of one ("neutral"). Where there is none, it
// says what is written nearly so, else "".
func Find(path string) (found []Key, nearly string) {
	for _, rows := range []map[string]*Key{rows, older} {
		if k, ok := rows[path]; ok {
			return []Key{*k}, ""
		}
	}
	steps, known := strings.Split(path, "."), []string{}
	for i := range keys {
		k := &keys[i]
		if k.leadsTo(steps) || strings.HasSuffix(k.Path, "."+path) || k.Older == path && path != "" {
			found = append(found, *k)
		}
		known = append(known, k.Path, k.Word())
	}
	if found == nil {
		nearly, _ = nearest(path, known)
	}
	return found, nearly
}

// leadsTo compares step by step; "*" is any name.
func (k *Key) leadsTo(steps []string) bool {
	own := strings.Split(k.Path, ".")
	return len(own) > 1 && slices.EqualFunc(own, steps, func(a, b string) bool { return a == "*" || a == b })
}

// Below lists the rows right below a key.
func (k *Key) Below() []Key {
	list := []Key{}
	for _, u := range below[k.Path] {
		list = append(list, *u)
	}
	return list
}

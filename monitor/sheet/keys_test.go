package sheet

import (
	"cmp"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everything is the starter with all that it leaves out: it has each key of the table.
func everything(t *testing.T) (*reader, *node) {
	t.Helper()
	text := strings.NewReplacer(
		"# percent:", "percent:", "# righting: {channel: rescue, when: pressed}", "righting: {channel: rescue, when: pressed, over: [plain, damping], guard: cover}",
		"# mark_button:", "mark_button:",
		"\ntaps:\n", "\ntaps:\n  phone: {kind: tilt, top: nose}\n",
		"    carries: heard", "    protocol: servo-bus\n    carries: heard",
		"channels:\n", "channels:\n  9: {name: flaps, kind: switch, positions: {up: 1000, down: 2000}}\n"+
			"  10: {name: trim, kind: fixed, value: 1485}\n"+
			"  11: {name: rescue, kind: momentary, rest: 1040, pressed: 1930}\n"+
			"  12: {name: spare, kind: momentary, rest: 1040, pressed: 1930}\n",
		"    corrects: [roll] ", "    travel: {from: 1080, to: 1920}\n    corrects: [roll] ",
		"  margin: 100 us", "  neutral_shift_at_most: 20 us\n  margin: 100 us",
		"  modes:  ", "  measure: [degrees, level, edges, gain]\n  level_within: 2\n  modes:  ",
		"mixes_wanted: []", "mixes_wanted: [{from: flaps, to: elevator, at_most: 60 us}]",
		"  within: 1.5s ", "  other_memory: refused\n  within: 1.5s ",
		"    strength: 1040 ", "    strength: {at_least: 1040}",
		"    allowed: in-drill ", "    holds: 2s\n    while: {throttle: cut}\n    allowed: in-drill ",
		"    motor: stops", "    rudder: {at_most: 1600}\n    elevator: {at_least: 1400}\n    motor: stops",
	).Replace(string(Starter())) + `soak:
  distance: 3 m
  mode: plain
  outputs: unloaded
  receiver_supply: bench supply at 6 V
  transmitter_supply: its own pack and a charger
  transmitter_idle: off by 30 min
  supply_limit_ma: 10000
  servos_peak_ma: 8000
  at_most_one_in: 10h
  missed_at_most: "1 %"
learning:
  before: [full rates]
  steps:
    - {kind: gesture, gesture: limit-learning}
    - {kind: servos, outputs: [elevator, 1], lasts: 5s}
    - {kind: button, says: press it}
    - {kind: menu, says: choose it}
    - {kind: control, channel: aileron, to: [left, right]}
    - {kind: wait, lasts: 3s}
levelling: {starts: press it, sides: [flat, on its side], rests: 5s, ends: wait, still_after_power_up: 4s}
assumed: [failsafe.within]
`
	r := Parser{}.reader("everything.yaml")
	root := r.document([]byte(text))
	require.Empty(t, r.mistakes)
	return r, root
}

// place is where a key stands: an entry of a table.
type place struct {
	in *node
	at int
}

func (p place) entry() *entry { return &p.in.entries[p.at] }

// placesOf finds all at which a path leads to an entry. The items of a list are no step,
// and "*" is no word that has a row of its own.
func placesOf(n *node, path []string) (found []place) {
	for _, item := range n.items {
		found = append(found, placesOf(item, path)...)
	}
	for i, e := range n.entries {
		switch {
		case path[0] != e.key.text && (path[0] != "*" || e.key.text == "default"):
		case len(path) > 1:
			found = append(found, placesOf(e.value, path[1:])...)
		default:
			found = append(found, place{n, i})
		}
	}
	return found
}

func (k *Key) places(t *testing.T, root *node) []place {
	t.Helper()
	found := placesOf(root, strings.Split(k.Path, "."))
	require.NotEmpty(t, found, k.Path)
	return found
}

// own is the path with the names that the examples of its rows have.
func (k *Key) own() []string {
	if k == nil {
		return nil
	}
	word := k.Word()
	if k.Own != "" {
		word = k.Own
	}
	return append(rows[k.parent()].own(), word)
}

// put sets a value, as a sheet has it, at a place of the key: where its own example
// stands, if it has one. It gives the key as it stands there, and what is wrong with it and
// what is below it.
func put(t *testing.T, k *Key, value string) (key string, mistakes Mistakes) {
	t.Helper()
	r, root := everything(t)
	all := append(placesOf(root, k.own()), k.places(t, root)...)
	all[0].entry().value = r.convert(r.parse(value).Docs[0].Body, 0)
	r.sections(root)
	for _, m := range r.mistakes {
		if m.Key == k.row() || strings.HasPrefix(m.Key, k.row()+".") {
			mistakes = append(mistakes, m)
		}
	}
	return all[0].entry().key.text, mistakes
}

// row is the row that the reader goes by: default is one of the names there.
func (k *Key) row() string { return strings.Replace(k.Path, ".default", ".*", 1) }

func eachKey(t *testing.T, check func(*testing.T, *Key)) {
	for i := range keys {
		t.Run(keys[i].Path, func(t *testing.T) { check(t, &keys[i]) })
	}
}

func TestSheetWithEveryKey(t *testing.T) {
	r, root := everything(t)
	r.sections(root)
	require.Empty(t, r.mistakes)
}

func TestExamplesAreAccepted(t *testing.T) {
	eachKey(t, func(t *testing.T, k *Key) {
		_, mistakes := put(t, k, k.Shown())
		assert.Empty(t, mistakes)
	})
}

// The reader looks at each key, as its row says, and a mistake says which key it is about.
func TestWrongTypesAreRefused(t *testing.T) {
	eachKey(t, func(t *testing.T, k *Key) {
		for _, value := range []string{"[[]]", "true", "[]"} {
			if value != "true" && k.Type == TypeList {
				continue
			}
			key, mistakes := put(t, k, value)
			require.NotEmpty(t, mistakes, value)
			assert.Equal(t, k.row(), mistakes[0].Key)
			assert.Contains(t, mistakes[0].Found, key, value)
		}
	})
}

// A section without a required key is refused where it has it; without another, it reads
// as the default says.
func TestRequiredAndDefault(t *testing.T) {
	eachKey(t, func(t *testing.T, k *Key) {
		if k.Own != "" {
			return // any name, and at least one: entries
		}
		_, root := everything(t)
		for i := range k.places(t, root) {
			r, root := everything(t)
			p := k.places(t, root)[i]
			p.in.entries = slices.Delete(p.in.entries, p.at, p.at+1)
			r.sections(root)
			said := strings.Count(r.mistakes.Error(), " without the key "+k.Word()+";")
			assert.Equal(t, k.Required, said == 1, r.mistakes)
			if k.Default == "" {
				continue
			}
			other, root := everything(t)
			k.places(t, root)[i].entry().value = other.convert(other.parse(k.Default).Docs[0].Body, 0)
			other.sections(root)
			assert.Equal(t, other.sheet, r.sheet)
		}
	})
}

// sections are those that have the key's own, in a list each item.
func (k *Key) sections(root *node) (list []*node) {
	for _, at := range placesOf(root, strings.Split(k.parent(), ".")) {
		value := at.entry().value
		if value.shape != table {
			list = append(list, value.items...)
			continue
		}
		list = append(list, value)
	}
	return list
}

// A key of some kinds is refused where the section is of another, and only there.
func TestKeysOfKinds(t *testing.T) {
	eachKey(t, func(t *testing.T, k *Key) {
		if k.For == nil {
			return
		}
		_, root := everything(t)
		for i, at := range k.sections(root) {
			r, root := everything(t)
			section := k.sections(root)[i]
			of := cmp.Or(section.find("kind"), section.find("law")).text
			if section.find(k.Word()) == nil {
				key, value := &node{shape: word, text: k.Word()}, r.convert(r.parse(k.Shown()).Docs[0].Body, 0)
				section.entries = append(section.entries, entry{key, value})
			}
			r.sections(root)
			refused := slices.ContainsFunc(r.mistakes, func(m Mistake) bool { return m.Key == k.Path && strings.Contains(m.Found, " does not have") })
			assert.Equal(t, !slices.Contains(k.For, of), refused, "%s of %s", at.key, of)
		}
	})
}

// Each row has what its type and its place need.
func TestRowsAreComplete(t *testing.T) {
	seen := map[string]bool{}
	eachKey(t, func(t *testing.T, k *Key) {
		assert.False(t, seen[k.Path], "two rows")
		seen[k.Path] = true
		assert.NotEmpty(t, k.Remark)
		assert.False(t, strings.HasSuffix(k.Remark, "."), "its last full stop is set where it is shown")
		assert.Equal(t, k.Word() == "*", k.Own != "", "an example of a name")
		assert.True(t, k.parent() == "" || rows[k.parent()] != nil, "it stands below a row")
		if k.Type == TypeWord {
			assert.Contains(t, k.Words, k.Example)
		}
	})
}

// The reader asks for no key without a row: get would find nothing, ever. That it asks for
// each row, as its type, the wrong types show.
func TestReaderAsksForRows(t *testing.T) {
	known := map[string]bool{}
	for i := range keys {
		known[keys[i].Word()] = true
	}
	asked := 0
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range files {
		if name == "papers.go" { // the keys of another file, which are the entries of the papers
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, get := range regexp.MustCompile(`\.get\("([a-z_]+)"\)`).FindAllStringSubmatch(string(text), -1) {
			asked++
			assert.True(t, known[get[1]], "%s: %s has no row", name, get[1])
		}
	}
	require.Greater(t, asked, 40)
}

package monitor_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// keepVariable names a folder that gets the script of each sitting with a false line.
const keepVariable = "BENCHPROOF_KEEP"

// kindForm is what the kinds of event look like.
var kindForm = regexp.MustCompile(`^([a-z]+\.[a-z]+|mark|reopened)$`)

// kindsOfEvent reads the kinds from where they are declared.
func kindsOfEvent(t *testing.T) (kinds []string) {
	files, err := filepath.Glob("event/*.go")
	require.NoError(t, err)
	own, err := filepath.Glob("engine/*.go") // the engine has one of its own
	require.NoError(t, err)
	for _, name := range append(files, own...) {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		for _, d := range f.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, s := range g.Specs {
				v := s.(*ast.ValueSpec)
				for _, x := range v.Values {
					if lit, ok := x.(*ast.BasicLit); ok && v.Type == nil && lit.Kind == token.STRING {
						if word, _ := strconv.Unquote(lit.Value); kindForm.MatchString(word) {
							kinds = append(kinds, word)
						}
					}
				}
			}
		}
	}
	return kinds
}

func TestTheOracleKnowsEachKindOfEvent(t *testing.T) {
	kinds := kindsOfEvent(t)
	require.Greater(t, len(kinds), 40)
	for _, kind := range kinds {
		assert.Contains(t, eventRules, kind, "a predicate on what really happened")
	}
	for kind := range eventRules {
		assert.Contains(t, kinds, kind, "no such kind")
	}
}

func TestTheOracleKnowsEachFamilyOfClaims(t *testing.T) {
	seen := map[string]bool{}
	soaks := changed(t, "heartbeat:\n", 0, "soak: {receiver_supply: a pack, at_most_one_in: 10h, missed_at_most: 1 %}\n")
	rights, err := sheet.Read("rescued", rescued(t))
	require.NoError(t, err)
	figures := measuredSheet(t, airframes[0], "degrees, level, edges")
	for _, c := range slices.Concat(claim.New(soaks).Claims(), claim.New(rights).Claims(), claim.New(figures).Claims(),
		claim.New(sheetRead(t, string(refusing(t)))).Claims()) {
		family, _, _ := strings.Cut(c.ID, "/")
		seen[family] = true
		assert.Contains(t, claimFamilies, family, c.ID)
	}
	for family := range claimFamilies {
		assert.True(t, seen[family], "no claim is called "+family)
	}
}

// falseLine is an event or a verdict that is not true.
type falseLine struct {
	kind string // what it is counted by
	at   unit.Time
	text string
	why  string
}

// judged plays a sitting and holds what is reported to what happened.
func (c *careless) judged(t *testing.T, seed uint64) (lines []falseLine, w *scene) {
	t.Helper()
	return c.judgedTo(t, seed, func(string, claim.Verdict, string) {})
}

// judgedTo does so too, and says the verdict of each claim at the end.
func (c *careless) judgedTo(t *testing.T, seed uint64, end func(id string, v claim.Verdict, sentence string)) (lines []falseLine, w *scene) {
	t.Helper()
	scripted, err := script.Parse("careless", []byte(c.script()))
	require.NoError(t, err, c.script())
	sim := world.New(&scripted.Plan, seed)
	sim.KeepTruth = true
	slices.SortFunc(c.unread, func(a, b [2]time.Duration) int { return int(a[0] - b[0]) })
	var events []event.Event
	b := c.judge(c.sh, sim, func(e *event.Event, _ int64) {
		kept := *e
		if d, ok := e.Data.(event.JumpData); ok {
			d.Channels, d.From, d.To = slices.Clone(d.Channels), slices.Clone(d.From), slices.Clone(d.To)
			kept.Data = d
		}
		events = append(events, kept)
	})
	var worlds []*scene
	for i := range c.taps() {
		x := newWorld(c.sh, c.sitting, sim, i)
		x.period, x.late, x.damage = unit.Duration(c.period), unit.Duration(c.late), c.damage
		worlds = append(worlds, x)
	}
	w = worlds[0]
	for i := range events {
		e := &events[i]
		r, known := eventRules[e.Kind]
		switch {
		case !known:
			lines = append(lines, falseLine{e.Kind, e.At, event.Sentence(e), "no predicate for this kind"})
		case r != nil:
			if why := falseIn(worlds, e, r); why != "" {
				lines = append(lines, falseLine{named(e), e.At, e.About + ": " + event.Sentence(e), why})
			}
		}
	}
	for _, cl := range b.Claims() {
		end(cl.ID, cl.Verdict, cl.Sentence)
		if why := anyWorld(worlds, func(w *scene) string { return w.verdict(cl.ID, cl.Verdict, w.end) }); why != "" {
			lines = append(lines, falseLine{"at the end " + string(cl.Verdict) + " " + cl.ID, w.end, cl.Sentence, why})
		}
	}
	return lines, w
}

// falseIn says why an event is false at the bus that it describes; a verdict may rest on
// either.
func falseIn(worlds []*scene, e *event.Event, r rule) string {
	if e.Kind == event.VerdictChanged {
		return anyWorld(worlds, func(w *scene) string { return r(w, e) })
	}
	tap := strings.TrimPrefix(e.About, "tap:")
	if v := reflect.ValueOf(e.Data); v.Kind() == reflect.Struct {
		if f := v.FieldByName("Tap"); f.IsValid() {
			tap = f.String()
		}
	}
	for _, w := range worlds {
		if w.tap == tap {
			return r(w, e)
		}
	}
	return r(worlds[0], e)
}

// anyWorld is "" if it is at one of the buses.
func anyWorld(worlds []*scene, why func(*scene) string) (first string) {
	for i, w := range worlds {
		x := why(w)
		if x == "" {
			return ""
		}
		if i == 0 {
			first = x
		}
	}
	return first
}

// named is what an event is counted as.
func named(e *event.Event) string {
	if d, ok := e.Data.(event.VerdictData); ok {
		return d.Verdict + " " + strings.TrimPrefix(e.About, "claim:")
	}
	return e.Kind
}

// nearby are the truths near a moment, for whoever looks for the cause.
func (w *scene) nearby(at unit.Time) string {
	var b strings.Builder
	for _, x := range w.truths {
		if x.Kind == "character" || x.Kind == "packet" && x.To == "missed" || unit.Abs(unit.Time(x.At).Sub(at)) > 6*unit.Second {
			continue
		}
		fmt.Fprintf(&b, "      %9.3f %s %s %s", float64(x.At)/1e9, x.Kind, x.About, x.To)
		if x.Width != 0 {
			fmt.Fprintf(&b, " %d", x.Width/1000)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// complain fails for each false line, and keeps the script if somebody wants it.
func (c *careless) complain(t *testing.T, name string, lines []falseLine, w *scene) {
	t.Helper()
	for _, l := range lines {
		t.Errorf("%s, %.3f s: %s\n   %s\n   false: %s\n%s", name, float64(l.at)/1e9, l.kind, l.text, l.why, w.nearby(l.at))
	}
	if dir := os.Getenv(keepVariable); dir != "" && len(lines) > 0 {
		text := fmt.Sprintf("# %s: the steps of the bench; what the builder said in drills is not in here\n%s", name, c.script())
		require.NoError(t, os.WriteFile(filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".script"), []byte(text), 0o600))
	}
}

// Over careless hands, receivers and links no event and no verdict is false.
func TestNothingFalseOverCarelessHands(t *testing.T) {
	for seed := range seeds(t) {
		t.Run(strconv.FormatUint(seed, 10), func(t *testing.T) {
			t.Parallel()
			c := newCareless(t, seed)
			c.play(t)
			first, err := script.Parse("careless", []byte(c.script()))
			require.NoError(t, err, c.script())
			sim := world.New(&first.Plan, seed)
			sim.KeepTruth = true
			sim.Advance(sim.Length() + 1)
			c.borders(sim)
			lines, w := c.judged(t, seed)
			c.complain(t, fmt.Sprintf("seed %d", seed), lines, w)
			if n := len(w.unseen); n > 0 {
				t.Logf("seed %d: values that never froze were seen right, past %d holds that nobody could see", seed, n)
			}
		})
	}
}

// Where there is nothing to judge, nothing is seen right.
func TestNothingSeenRightWhereNothingIsHeard(t *testing.T) {
	for _, x := range []struct{ name, setup string }{
		{"noise only", "receiver main silent wakes silent\nwire main noise 900\n"},
		{"silence only", "receiver main silent wakes silent\n"},
		{"never live", "receiver main preset\n" + presets},
		{"never live at neutral", "receiver main hold wakes neutral flags lost\n"},
		{"flagged from the start", "receiver main hold always lost\n"},
		{"in failsafe from the start", "receiver main hold always both\n"},
		{"no port", ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			for seed := range seeds(t) {
				c := newCareless(t, seed)
				c.rear = false
				c.setup, c.phases, c.damage, c.period, c.late = x.setup, false, strings.Contains(x.setup, "noise"), 7*time.Millisecond, 0
				if strings.Contains(x.setup, "always") {
					c.do("signal on")
					c.wait(2*time.Second, 3*time.Second)
					for range 8 {
						c.stirs()
						c.flips()
					}
				}
				c.wait(10*time.Second, time.Minute)
				if c.often(30) {
					c.at += 11 * time.Minute
				}
				if x.name == "no port" {
					c.silentlyRight(t, seed)
					continue
				}
				lines, w := c.judged(t, seed)
				c.complain(t, fmt.Sprintf("%s, seed %d", x.name, seed), lines, w)
			}
		})
	}
}

// silentlyRight has an engine listen that never gets a port.
func (c *careless) silentlyRight(t *testing.T, seed uint64) {
	b := engine.New(c.sh, func(*event.Event, int64) {})
	in := begin("main")
	b.Step(&in)
	for at := unit.Second; at <= unit.Duration(c.at); at += unit.Second {
		b.Step(&event.Input{At: unit.Time(at), Kind: event.InputBeat, Data: wallAt(at)})
	}
	b.Step(&event.Input{At: unit.Time(c.at).Add(unit.Second), Kind: event.InputEnd})
	for _, cl := range b.Claims() {
		if cl.Verdict != claim.VerdictOpen {
			t.Errorf("no port, seed %d: %s is %s: %s", seed, cl.ID, cl.Verdict, cl.Sentence)
		}
	}
}

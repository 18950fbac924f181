package monitor_test

import (
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "benchproof.example/"

// mayUse is the one-way street: which of our packages a package may depend on,
// directly or through others. A name that ends in /... stands for all below it.
//
//	decode <- unit, event, sheet <- watch, claim, drill <- engine <- session <- report <- cmd
//
// A package that is not listed may not exist: a new one says here where it
// belongs. No row names cmd, so nothing can depend on it.
var mayUse = map[string][]string{
	"decode/...":              {"decode/..."},
	"monitor/unit":            {},
	"monitor/event":           {"decode/...", "monitor/unit", "monitor/text"},
	"monitor/text":            {},
	"monitor/sheet":           {"decode/...", "monitor/unit"},
	"monitor/state":           {"decode/...", "monitor/unit", "monitor/event", "monitor/text"},
	"monitor/crclog":          {},
	"monitor/view":            {"decode/...", "monitor/unit", "monitor/event", "monitor/text"},
	"monitor/wiretime":        {"decode/...", "monitor/unit", "monitor/event", "monitor/text"},
	"monitor/recording":       {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/crclog"},
	"monitor/timeline":        {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/crclog"},
	"monitor/fit/median":      {},
	"monitor/fit/mix":         {"monitor/unit"},
	"monitor/fit/oscillation": {"monitor/unit"},
	"monitor/watch/base": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median",
		"monitor/fit/mix",
	},
	"monitor/watch/link": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median",
		"monitor/fit/mix", "monitor/watch/base",
	},
	"monitor/watch/controls": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median",
		"monitor/fit/mix", "monitor/watch/base",
	},
	"monitor/watch/leads": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median",
		"monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base",
	},
	"monitor/watch": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median",
		"monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base", "monitor/watch/link",
		"monitor/watch/controls", "monitor/watch/leads",
	},
	"monitor/claim": {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet"},
	"monitor/drill": {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/fit/median"},
	"monitor/engine": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/wiretime", "monitor/fit/median", "monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base",
		"monitor/watch/link", "monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim",
		"monitor/drill",
	},
	"monitor/record": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/wiretime", "monitor/fit/median", "monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base",
		"monitor/watch/link", "monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim",
		"monitor/drill", "monitor/engine",
	},
	"monitor/port": {"decode/...", "monitor/unit", "monitor/event", "monitor/text"},
	"monitor/session": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/crclog", "monitor/wiretime", "monitor/recording", "monitor/timeline", "monitor/fit/median",
		"monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base", "monitor/watch/link",
		"monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim", "monitor/drill",
		"monitor/engine", "monitor/port",
	},
	"monitor/report": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/crclog", "monitor/wiretime", "monitor/recording", "monitor/timeline", "monitor/fit/median",
		"monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base", "monitor/watch/link",
		"monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim", "monitor/drill",
		"monitor/engine", "monitor/record", "monitor/port", "monitor/session",
	},
	"monitor/report/compare": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/wiretime", "monitor/fit/median", "monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base",
		"monitor/watch/link", "monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim",
		"monitor/drill", "monitor/engine", "monitor/record",
	},
	"monitor/report/page": {
		"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet", "monitor/state",
		"monitor/wiretime", "monitor/fit/median", "monitor/fit/mix", "monitor/fit/oscillation", "monitor/watch/base",
		"monitor/watch/link", "monitor/watch/controls", "monitor/watch/leads", "monitor/watch", "monitor/claim",
		"monitor/drill", "monitor/engine", "monitor/record", "monitor/report/compare",
	},
	"monitor/sheet/sheettest": {},
	"monitor/metrics":         {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/state"},
	"monitor/serve":           {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/state", "monitor/crclog"},
	"monitor/control":         {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/crclog"},
	"monitor/sim/operator":    {"decode/...", "monitor/unit", "monitor/event", "monitor/text", "monitor/sheet"},
	"monitor/sim/world":       {"decode/..."},
	"monitor/port/kernelrig":  {"decode/..."},

	// Tests of the whole alone.
	"monitor": {},

	// What people look at asks a scrape, not our packages.
	"dashboards":         {},
	"dashboards/grafana": {},

	"cmd/...": {"decode/...", "monitor/..."},
}

// covers reports whether a row or an entry of mayUse stands for a package.
func covers(pattern, pkg string) bool {
	if below, ok := strings.CutSuffix(pattern, "..."); ok {
		return strings.HasPrefix(pkg, below)
	}
	return pattern == pkg
}

// offences compares what packages depend on with the rules: a sentence for each
// that breaks them, in order.
func offences(deps, rules map[string][]string) (list []string) {
	for pkg, uses := range deps {
		rule, ok := ruleFor(pkg, rules)
		if !ok {
			list = append(list, pkg+" is not listed in mayUse")
			continue
		}
		for _, used := range uses {
			if !slices.ContainsFunc(rule, func(p string) bool { return covers(p, used) }) {
				list = append(list, pkg+" must not depend on "+used)
			}
		}
	}
	slices.Sort(list)
	return list
}

func ruleFor(pkg string, rules map[string][]string) ([]string, bool) {
	for pattern, rule := range rules {
		if covers(pattern, pkg) {
			return rule, true
		}
	}
	return nil, false
}

// dependencies asks the go command what each of our packages depends on in the
// end, of our own packages, on one system.
func dependencies(t *testing.T, system string) map[string][]string {
	list := exec.Command("go", "list", "-deps", "-f", `{{if .Module}}{{if .Module.Main}}{{.ImportPath}} {{join .Deps " "}}{{end}}{{end}}`, module+"...")
	list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
	out, err := list.Output()
	require.NoError(t, err, system)
	deps := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		var ours []string
		for _, path := range strings.Fields(line) {
			if pkg, ok := strings.CutPrefix(path, module); ok {
				ours = append(ours, pkg)
			}
		}
		if len(ours) > 0 {
			deps[ours[0]] = ours[1:]
		}
	}
	return deps
}

func TestImportsRunOneWay(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		deps := dependencies(t, system)
		require.Contains(t, deps["cmd/benchproof"], "monitor/session", "%s: the list is a real one", system)
		require.Contains(t, deps["monitor/session"], "decode/servobus", "%s: it goes down to the ground", system)
		assert.Empty(t, offences(deps, mayUse), system)
	}
}

// The rule must be able to catch something.
func TestOffencesAreFound(t *testing.T) {
	for _, c := range []struct{ pkg, uses, want string }{
		{"decode/servobus", "monitor/event", "decode/servobus must not depend on monitor/event"},
		{"monitor/event", "monitor/sheet", "monitor/event must not depend on monitor/sheet"},
		{"monitor/watch", "monitor/claim", "monitor/watch must not depend on monitor/claim"},
		{"monitor/watch", "monitor/engine", "monitor/watch must not depend on monitor/engine"},
		{"monitor/engine", "monitor/session", "monitor/engine must not depend on monitor/session"},
		{"monitor/sim/world", "monitor/event", "monitor/sim/world must not depend on monitor/event"},
		{"monitor/session", "monitor/sim/world", "monitor/session must not depend on monitor/sim/world"},
		{"monitor/session", "cmd/benchproof", "monitor/session must not depend on cmd/benchproof"},
		{"monitor/novelty", "monitor/event", "monitor/novelty is not listed in mayUse"},
	} {
		got := offences(map[string][]string{c.pkg: {"decode/scale", c.uses}}, mayUse)
		assert.Contains(t, got, c.want, fmt.Sprint(c))
	}
	assert.Empty(t, offences(map[string][]string{"cmd/benchproof": {"monitor/engine", "monitor/event", "decode/scale"}}, mayUse))
}

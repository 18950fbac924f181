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

// mayUse is the one-way street, from leaf to roof: what each of our packages rests on. It may
// depend on these and on all that they rest on, and on nothing else of ours. A name that ends
// in /... stands for all below it. DEVELOPERS.md shows the same list from roof to leaf.
//
// A package that is not listed may not exist: a new one says here where it
// belongs. No row names cmd, so nothing can depend on it.
var mayUse = map[string][]string{
	// The wire, and what all speak of.
	"decode/...":       {"decode/..."},
	"monitor/unit":     {},
	"monitor/text":     {},
	"monitor/attitude": {"monitor/unit"},
	"monitor/event":    {"decode/...", "monitor/unit", "monitor/text", "monitor/attitude"},
	"monitor/sheet":    {"decode/...", "monitor/event"},
	"monitor/state":    {"monitor/event"},

	// Figures out of samples.
	"monitor/wiretime":        {"monitor/event"},
	"monitor/fit/median":      {},
	"monitor/fit/mix":         {"monitor/unit"},
	"monitor/fit/oscillation": {"monitor/unit"},
	"monitor/fit/student":     {},
	"monitor/fit/drift":       {"monitor/unit", "monitor/fit/student"},
	"monitor/fit/slope":       {"monitor/fit/student"},
	"monitor/fit/answer":      {"monitor/event", "monitor/sheet", "monitor/fit/slope"},
	"monitor/fit/ranksum":     {"monitor/unit"},
	"monitor/fit/share":       {"monitor/fit/student"},
	"monitor/reliability":     {"monitor/unit"},

	// Judgement.
	"monitor/watch/base":     {"monitor/event", "monitor/state", "monitor/sheet", "monitor/drill", "monitor/fit/median", "monitor/fit/mix"},
	"monitor/watch/link":     {"monitor/watch/base"},
	"monitor/watch/controls": {"monitor/watch/base"},
	"monitor/watch/leads":    {"monitor/watch/base", "monitor/fit/oscillation"},
	"monitor/watch/tilt":     {"monitor/watch/base"},
	"monitor/watch":          {"monitor/watch/link", "monitor/watch/controls", "monitor/watch/leads", "monitor/watch/tilt"},
	"monitor/account":        {"monitor/watch/base", "monitor/reliability", "monitor/fit/share", "monitor/fit/drift"},
	"monitor/claim":          {"monitor/event", "monitor/sheet", "monitor/drill"},
	"monitor/drill":          {"monitor/event", "monitor/sheet"},
	"monitor/drill/runner":   {"monitor/drill", "monitor/state", "monitor/fit/median", "monitor/fit/ranksum", "monitor/fit/answer"},
	"monitor/drill/course":   {"monitor/claim", "monitor/state"},
	"monitor/engine":         {"monitor/wiretime", "monitor/watch", "monitor/claim", "monitor/account", "monitor/drill/runner", "monitor/state"},

	"monitor/trace":          {"monitor/watch/base"},
	"monitor/draft":          {"monitor/engine", "monitor/drill", "monitor/fit/median", "monitor/fit/mix"},
	"monitor/draft/dialogue": {"monitor/draft"},

	// What is heard and kept.
	"monitor/files":     {},
	"monitor/crclog":    {"monitor/files"},
	"monitor/recording": {"monitor/event", "monitor/crclog"},
	"monitor/timeline":  {"monitor/event", "monitor/crclog"},
	"monitor/port":      {"monitor/event", "monitor/files"},
	"monitor/session":   {"monitor/engine", "monitor/trace", "monitor/record", "monitor/port", "monitor/recording", "monitor/timeline"},

	// What people get of it.
	"monitor/view":                  {"monitor/record"},
	"monitor/record":                {"monitor/engine", "monitor/files"},
	"monitor/card":                  {"monitor/record"},
	"monitor/recheck":               {"monitor/record"},
	"monitor/report":                {"monitor/record", "monitor/session"},
	"monitor/doctor":                {"monitor/session"},
	"monitor/report/compare":        {"monitor/record", "monitor/account", "monitor/fit/ranksum", "monitor/fit/share"},
	"monitor/report/page":           {"monitor/report/compare", "monitor/account"},
	"monitor/report/earlier":        {"monitor/report", "monitor/report/page"},
	"monitor/api/past":              {"monitor/api", "monitor/report/earlier"},
	"monitor/api/certificate":       {"monitor/files"},
	"monitor/api/socket":            {},
	"monitor/api/socket/sockettest": {},
	"monitor/api/client":            {"monitor/api/socket", "monitor/event", "monitor/crclog"},
	"monitor/api": {"monitor/state", "monitor/trace", "monitor/drill/course", "monitor/draft/dialogue", "monitor/crclog",
		"dashboards/guide", "dashboards/page"},
	"monitor/metrics":         {"monitor/state"},
	"dashboards":              {}, // a scrape is asked, not our packages
	"dashboards/grafana":      {},
	"dashboards/guide":        {}, // text alone
	"dashboards/page":         {}, // files alone
	"dashboards/page/browser": {}, // knows pages, and nothing of what serves them

	// The simulated bench.
	"monitor/sim/world":    {"decode/..."},
	"monitor/sim/badline":  {"monitor/sim/world"},
	"monitor/sim/script":   {"monitor/sim/world", "monitor/files"},
	"monitor/sim/operator": {"monitor/event", "monitor/sheet"},

	// For tests alone.
	"monitor":                 {},
	"monitor/files/filestest": {"monitor/files"},
	"monitor/fit/scipytest":   {},
	"monitor/sheet/sheettest": {},
	"monitor/sim/simtest":     {"monitor/sim/script", "monitor/sheet/sheettest"},
	"monitor/port/kernelrig":  {"decode/..."},
	"monitor/sim/days": {"monitor/session", "monitor/api", "monitor/metrics", "monitor/view", "monitor/files/filestest",
		"monitor/sim/simtest", "monitor/sim/operator"},

	"cmd/...": {"decode/...", "monitor/...", "dashboards/guide", "dashboards/page"},
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
		if _, ok := ruleFor(pkg, rules); !ok {
			list = append(list, pkg+" is not listed in mayUse")
			continue
		}
		allowed := restsOn(pkg, rules)
		for _, used := range uses {
			if !slices.ContainsFunc(allowed, func(p string) bool { return covers(p, used) }) {
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

// restsOn is all that a package may depend on, directly or through others.
func restsOn(pkg string, rules map[string][]string) (all []string) {
	left, _ := ruleFor(pkg, rules)
	left = slices.Clone(left)
	for len(left) > 0 {
		next := left[0]
		left = left[1:]
		if !slices.Contains(all, next) {
			rule, _ := ruleFor(next, rules)
			all, left = append(all, next), append(left, rule...)
		}
	}
	return all
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

// A protocol's package has one importer, the list of protocols. All others go by its row.
// What tests have for themselves nobody imports.
func TestNobodyNamesAProtocol(t *testing.T) {
	importers := importersOf(t)
	var named []string
	for pkg, by := range importers {
		if slices.Contains(by, "decode/protocols") && pkg != "decode/bus" {
			named = append(named, pkg)
			assert.Equal(t, []string{"decode/protocols"}, by, "%s is imported by others than the list", pkg)
		}
	}
	assert.Contains(t, named, "decode/servobus")
	assert.Empty(t, importers["decode/bus/bustest"])
}

// importersOf lists for each of our packages who imports it, tests aside.
func importersOf(t *testing.T) map[string][]string {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, module+"...").Output()
	require.NoError(t, err)
	by := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		paths := strings.Fields(line)
		for _, path := range paths[1:] {
			if pkg, ours := strings.CutPrefix(path, module); ours {
				by[pkg] = append(by[pkg], strings.TrimPrefix(paths[0], module))
			}
		}
	}
	return by
}

// The rule must be able to catch something.
func TestOffencesAreFound(t *testing.T) {
	for _, c := range []struct{ pkg, uses, want string }{
		{"decode/servobus", "monitor/event", "decode/servobus must not depend on monitor/event"},
		{"monitor/event", "monitor/sheet", "monitor/event must not depend on monitor/sheet"},
		{"monitor/watch", "monitor/claim", "monitor/watch must not depend on monitor/claim"},
		{"monitor/watch", "monitor/drill/runner", "monitor/watch must not depend on monitor/drill/runner"},
		{"monitor/claim", "monitor/drill/runner", "monitor/claim must not depend on monitor/drill/runner"},
		{"monitor/watch", "monitor/engine", "monitor/watch must not depend on monitor/engine"},
		{"monitor/engine", "monitor/session", "monitor/engine must not depend on monitor/session"},
		{"monitor/sim/world", "monitor/sim/script", "monitor/sim/world must not depend on monitor/sim/script"},
		{"monitor/sim/script", "monitor/event", "monitor/sim/script must not depend on monitor/event"},
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

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
//	decode <- fact, sheet <- watch, claim, drill <- monitor <- session <- cmd
//
// A package that is not listed may not exist: a new one says here where it
// belongs. No row names cmd, so nothing can depend on it.
var mayUse = map[string][]string{
	"decode/...": {"decode/..."},

	"monitor/fact":            {"decode/..."},
	"monitor/sheet":           {"decode/..."},
	"monitor/sheet/sheettest": {}, // for tests
	"monitor/sealed":          {},

	"monitor/say":       {"decode/...", "monitor/fact"},
	"monitor/state":     {"decode/...", "monitor/fact"},
	"monitor/tap":       {"decode/...", "monitor/fact"},
	"monitor/wire":      {"decode/...", "monitor/fact"},
	"monitor/recording": {"decode/...", "monitor/fact", "monitor/sealed"},
	"monitor/timeline":  {"decode/...", "monitor/fact", "monitor/sealed"},

	"monitor/transfer": {"decode/..."},
	"monitor/swing":    {},
	"monitor/median":   {},

	"monitor/watch": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/transfer", "monitor/swing", "monitor/median"},
	"monitor/claim": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/say"},
	"monitor/drill": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/say", "monitor/median"},
	"monitor": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/say", "monitor/state", "monitor/wire",
		"monitor/watch", "monitor/transfer", "monitor/swing", "monitor/median", "monitor/claim", "monitor/drill"},

	"monitor/session": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/say", "monitor/state", "monitor/sealed", "monitor/tap",
		"monitor/wire", "monitor/recording", "monitor/timeline", "monitor/watch", "monitor/transfer", "monitor/swing", "monitor/median", "monitor/claim", "monitor/drill", "monitor"},

	"monitor/report": {"decode/...", "monitor/fact", "monitor/sheet", "monitor/say", "monitor/state", "monitor/sealed", "monitor/tap",
		"monitor/wire", "monitor/recording", "monitor/timeline", "monitor/watch", "monitor/transfer", "monitor/swing", "monitor/median", "monitor/claim", "monitor/drill", "monitor", "monitor/session"},

	"monitor/metrics": {"decode/...", "monitor/fact", "monitor/state"},
	"monitor/serve":   {"decode/...", "monitor/fact", "monitor/state", "monitor/sealed"},

	"monitor/control": {"decode/...", "monitor/fact", "monitor/sealed"},

	"monitor/hands": {"decode/...", "monitor/fact", "monitor/sheet"},

	// The simulated bench knows nothing of what listens to it, nor does the guest
	// that feeds the kernel's own driver.
	"monitor/standin":       {"decode/..."},
	"monitor/tap/kernelrig": {"decode/..."},

	// What people look at asks a scrape, not our packages.
	"dashboards":         {},
	"dashboards/grafana": {},

	"cmd/...": {"decode/...", "monitor", "monitor/..."},
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
		{"decode/servobus", "monitor/fact", "decode/servobus must not depend on monitor/fact"},
		{"monitor/fact", "monitor/sheet", "monitor/fact must not depend on monitor/sheet"},
		{"monitor/watch", "monitor/claim", "monitor/watch must not depend on monitor/claim"},
		{"monitor/watch", "monitor", "monitor/watch must not depend on monitor"},
		{"monitor", "monitor/session", "monitor must not depend on monitor/session"},
		{"monitor/standin", "monitor/fact", "monitor/standin must not depend on monitor/fact"},
		{"monitor/session", "monitor/standin", "monitor/session must not depend on monitor/standin"},
		{"monitor/session", "cmd/benchproof", "monitor/session must not depend on cmd/benchproof"},
		{"monitor/novelty", "monitor/fact", "monitor/novelty is not listed in mayUse"},
	} {
		got := offences(map[string][]string{c.pkg: {"decode/scale", c.uses}}, mayUse)
		assert.Contains(t, got, c.want, fmt.Sprint(c))
	}
	assert.Empty(t, offences(map[string][]string{"cmd/benchproof": {"monitor", "monitor/fact", "decode/scale"}}, mayUse))
}

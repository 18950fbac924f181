package claim_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// sheets are those of the starter, of the two switches, and of all scenarios and sessions
// under testdata, by name.
func sheets(t *testing.T) map[string]*sheet.Sheet {
	t.Helper()
	texts := map[string][]byte{"starter": sheet.Starter(), "two switches": sheettest.TwoSwitches()}
	for _, pattern := range []string{"../../testdata/byhand/*/sheet.yaml", "../../testdata/corpus/*/sheet.yaml"} {
		paths, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, paths, pattern)
		for _, path := range paths {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			texts[path] = text
		}
	}
	list := map[string]*sheet.Sheet{}
	for name, text := range texts {
		s, err := sheet.Read(name, text)
		require.NoError(t, err, name)
		list[name] = s
	}
	return list
}

// Each claim has a family of the table, its ID begins with it, and no family is without a
// claim.
func TestEachClaimHasItsFamily(t *testing.T) {
	used := map[claim.Family]bool{}
	for name, s := range sheets(t) {
		index := claim.NewIndex(s)
		for _, c := range claim.New(s).Claims() {
			used[c.Family] = true
			assert.Contains(t, claim.Families(), c.Family, "%s: %s", name, c.ID)
			rest, ok := strings.CutPrefix(c.ID, c.Family.ID(c.Part))
			assert.True(t, ok && (rest == "" || rest[0] == '/'), "%s: %s is %s of the family %s", name, c.ID, c.Part, c.Family)
			assert.Equal(t, c.Family, index.Family(c.ID))
			assert.NotEmpty(t, c.Heading(), c.ID)
			assert.NotEmpty(t, c.Settle.String(), c.ID)
			for _, id := range c.Rests {
				assert.Contains(t, index, id, "%s: what %s rests on", name, c.ID)
			}
		}
		assert.Len(t, index, len(claim.New(s).Claims()), "%s: no ID twice", name)
	}
	for _, f := range claim.Families() {
		assert.True(t, used[f], "a claim of the family %s", f)
	}
}

func TestWhatAClaimJudges(t *testing.T) {
	index := starter(t).book.Index()
	for _, x := range []struct {
		id, part        string
		channel, output int
		channels        []int
		heading         claim.Heading
	}{
		{"position/inner/back", "inner", 11, 0, []int{11}, claim.HeadingSwitches},
		{"mode/damping/back", "damping", 0, 0, []int{11, 13}, claim.HeadingModes},
		{"gain/span", "span", 9, 0, []int{9}, claim.HeadingGain},
		{"link/moving", "moving", 0, 0, nil, claim.HeadingLink},
		{"failsafe/throttle", "throttle", 3, 0, []int{3}, claim.HeadingFailsafe},
		{"failsafe/aileron", "aileron", 1, 0, []int{1}, claim.HeadingFailsafe},
		{"failsafe/time", "time", 0, 0, []int{3}, claim.HeadingFailsafe},
		{"answers/controls", "controls", 0, 0, nil, claim.HeadingRest},
	} {
		c := index[x.id]
		if assert.NotNil(t, c, x.id) {
			assert.Equal(t, x.part, c.Part, x.id)
			assert.Equal(t, []int{x.channel, x.output}, []int{c.Channel, c.Output}, x.id)
			assert.Equal(t, x.channels, c.Channels, x.id)
			assert.Equal(t, x.heading, c.Heading(), x.id)
		}
	}
	assert.Equal(t, claim.HeadingRest, claim.Family("strange").Heading())
}

// literal finds an ID in a source, or the beginning of one; cuts finds where one is taken apart.
var (
	literal = func() *regexp.Regexp {
		var words []string
		for _, f := range claim.Families() {
			words = append(words, string(f))
		}
		return regexp.MustCompile(`"(` + strings.Join(words, "|") + `)/`)
	}()
	cuts = regexp.MustCompile(`strings\.(Cut|HasPrefix|HasSuffix|Split|TrimPrefix|Contains|Index|Fields)\w*\([^"]*\b(ID|id|Claim|claim|Prompt|prompt)\b`)
)

// hands are those who follow prompts as people do, by their IDs.
const hands = "sim/operator"

// prompts are the packages that make or follow the prompts of drills, whose IDs begin with
// the words of some families.
var prompts = []string{"drill", hands}

// No source but the table knows how IDs are made, those of claims and those of prompts.
func TestIDsAreMadeAndReadInOnePlace(t *testing.T) {
	for _, root := range []string{"..", "../../cmd"} {
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			text, err := os.ReadFile(path)
			for n, line := range strings.Split(string(text), "\n") {
				code, _, _ := strings.Cut(line, " // ")
				if strings.HasPrefix(strings.TrimSpace(code), "//") {
					continue
				}
				if !isIn(path, hands) {
					assert.NotRegexp(t, cuts, code, "%s:%d takes an ID apart: use claim.Index or drill.Index", path, n+1)
				}
				if !isIn(path, prompts...) {
					assert.NotRegexp(t, literal, code, "%s:%d has an ID as a literal: use claim.Family", path, n+1)
				}
			}
			return err
		}))
	}
}

func isIn(path string, packages ...string) bool {
	return slices.ContainsFunc(packages, func(p string) bool { return filepath.ToSlash(filepath.Dir(path)) == "../"+p })
}

// Watchers know what a drill does, not which it is.
func TestNoWatcherNamesADrill(t *testing.T) {
	paths, err := filepath.Glob("../watch/*/*.go")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.NotRegexp(t, `event\.Prompt[A-Z]|drill\.(Mode|Gain|Order|Ends|Neutral|Failsafe|PowerUp|Response|Correction)\b|Drill [!=]= "[a-z]`, string(text), path)
	}
}

// The rule must be able to catch something.
func TestLiteralIDsAreFound(t *testing.T) {
	assert.Regexp(t, literal, `if f.ID == "failsafe/time" {`)
	assert.Regexp(t, literal, `"margin/"+name`)
	assert.NotRegexp(t, literal, `"/dev/tty"`)
	assert.Regexp(t, cuts, `family, _, _ := strings.Cut(c.ID, "/")`)
	assert.Regexp(t, cuts, `strings.HasPrefix(c.Moved[i].Claim, "x")`)
	assert.Regexp(t, cuts, `part := strings.SplitN(id, "/", 3)`)
	assert.Regexp(t, cuts, `part := strings.Split(d.Prompt, "/")`)
	assert.NotRegexp(t, cuts, `strings.HasPrefix(line, "claim")`)
}

//go:build linux || darwin

package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/guide"
	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/certificate"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Every command that README and guide show is one that works: each line of a sh block,
// and each piece of code in running text that begins with benchproof, goes through the
// real commands. What needs no device is run, in a folder that has the files which the
// pages speak of; what needs a running session is judged by what the session would say.

const sourceTree = "../.."

// manualPages are the pages that show commands, by name.
func manualPages(t *testing.T) map[string]string {
	t.Helper()
	readme, err := os.ReadFile(filepath.Join(sourceTree, "README.md"))
	require.NoError(t, err)
	pages := map[string]string{"README": string(readme)}
	for _, topic := range guide.Topics() {
		pages[topic.Name] = topic.Text
	}
	return pages
}

var (
	fence  = regexp.MustCompile("(?ms)^```([a-z]*)\n(.*?)^```$")
	inline = regexp.MustCompile("`((?:bin/)?benchproof [^`]+)`")
)

// shown are the commands of a page, line by line, and what is said of none.
func shown(t *testing.T, page string) (commands []string) {
	t.Helper()
	for _, block := range fence.FindAllStringSubmatch(page, -1) {
		switch block[1] {
		case "sh":
			for line := range strings.Lines(block[2]) {
				line, _, _ = strings.Cut(line, "  #") // a remark
				commands = append(commands, strings.TrimSpace(line))
			}
		case "", "yaml", "json": // output, text, files
			assert.NotRegexp(t, `(?m)^\$? ?(bin/)?benchproof [a-z]`, block[2], "a command belongs into a sh block")
		default:
			assert.Fail(t, "a block of kind "+block[1], "the test knows sh, yaml, json and none")
		}
	}
	for _, code := range inline.FindAllStringSubmatch(fence.ReplaceAllString(page, ""), -1) {
		commands = append(commands, code[1])
	}
	return commands
}

// standsFor are the words of the pages that a reader replaces by something else.
var standsFor = map[string]string{
	"/dev/ttyUSB0": "port0", "/dev/ttyACM0": "port2", "main=/dev/ttyUSB0": "main=port0", "second=/dev/ttyUSB1": "second=port1",
	"main=/tmp/standin-1/port-0": "main=port0", "leads=/tmp/standin-1/port-1": "leads=port2", "127.0.0.1:8025": "127.0.0.1:0",
	"TOPIC": "wiring", "SESSION": "practice", "COMMAND": "watch", "THEN": "practice", "NOW": "practice", "NAME": "elevon",
}

// words takes a line apart as a shell does, as far as the pages need it, and says which
// file its output goes to.
func words(line string) (list []string, into string) {
	for _, part := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(line, -1) {
		part = strings.Trim(part, `"`)
		if other, ok := standsFor[part]; ok {
			part = other
		}
		list = append(list, part)
	}
	if n := len(list); n > 2 && list[n-2] == ">" {
		return list[:n-2], list[n-1]
	}
	return list, ""
}

// manualFolder becomes the working folder: it has the files that the pages speak of.
func manualFolder(t *testing.T) {
	t.Helper()
	data, err := filepath.Abs(filepath.Join(sourceTree, "testdata"))
	require.NoError(t, err)
	dir := sockettest.Folder(t)
	t.Chdir(dir)
	sessions := map[string]string{
		"sessions/reedwing-1400/2026-05-02-110000": "reedwing-all-well", "sessions/reedwing-1400/2026-05-09-100000": "reedwing-holds",
		"practice": "reedwing-leads",
	}
	for folder, of := range sessions {
		require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join(data, "corpus", of))))
	}
	for file, of := range map[string]string{
		"recording.pcapng": "corpus/reedwing-all-well/recording.pcapng", "capture.bus": "raw/clean.bus", "capture.vcd": "waveforms/vcd-bus.vcd",
	} {
		text, err := os.ReadFile(filepath.Join(data, of))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, text, 0o600))
	}
	two, err := exchange(sheet.Starter(), "taps", "taps:\n  main: {kind: bus, carries: heard}\n  second: {kind: bus, carries: heard}\n")
	require.NoError(t, err)
	for file, text := range map[string]string{
		"mymodel.yaml": string(sheet.Starter()), "two.yaml": string(two), "token.txt": "0123456789abcdef\n",
		"capture.csv": "time_ns,servo1,servo2\n0,0,0\n1000000,1,0\n2500000,0,1\n4000000,0,0\n21000000,1,0\n22500000,0,0\n",
	} {
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	}
	t.Setenv("STATE_DIRECTORY", dir) // an authority is kept here, not with the user's settings
	_, err = certificate.NewOwn(filepath.Join(dir, "given"), []string{"localhost"})
	require.NoError(t, err)
	pair, err := os.ReadFile(filepath.Join(dir, "given", "computer.pem"))
	require.NoError(t, err)
	for _, file := range []string{"cert.pem", "key.pem"} {
		require.NoError(t, os.WriteFile(file, pair, 0o600))
	}
}

func TestCommandsOfGuideAndREADME(t *testing.T) {
	tree, err := filepath.Abs(sourceTree)
	require.NoError(t, err)
	for name, page := range manualPages(t) {
		t.Run(name, func(t *testing.T) {
			commands := shown(t, page)
			manualFolder(t)
			for _, line := range commands {
				tryShown(t, tree, line)
			}
		})
	}
}

// tryShown tries one line of a page, whatever program it is for.
func tryShown(t *testing.T, tree, line string) {
	t.Helper()
	args, into := words(line)
	switch {
	case args[0] == "benchproof" || args[0] == "bin/benchproof":
		tryCommand(t, args[1:], into)
	case strings.HasPrefix(line, "go run ./cmd/benchproof "):
		tryCommand(t, args[3:], into)
	case line == "go build -o bin/benchproof ./cmd/benchproof":
		assert.DirExists(t, filepath.Join(tree, "cmd/benchproof"))
	case args[0] == "make":
		tryMake(t, tree, args[1:])
	default:
		assert.Fail(t, "a command that this test does not know: "+line)
	}
}

// tryMake looks for the target in the Makefile that is meant.
func tryMake(t *testing.T, tree string, args []string) {
	t.Helper()
	folder := tree
	if args[0] == "-C" {
		folder, args = filepath.Join(tree, args[1]), args[2:]
	}
	text, err := os.ReadFile(filepath.Join(folder, "Makefile"))
	require.NoError(t, err)
	require.Len(t, args, 1)
	assert.Regexp(t, "(?m)^"+args[0]+":", string(text))
}

// tryCommand parses a command by the real command tree, and runs it as far as that
// needs neither a device nor a running session.
func tryCommand(t *testing.T, args []string, into string) {
	t.Helper()
	line := strings.Join(args, " ")
	root := newRoot(io.Discard, io.Discard)
	cmd, rest, err := root.Find(args)
	require.NoError(t, err, line)
	asked := slices.ContainsFunc(rest, func(a string) bool { return a == "--help" || a == "--version" })
	if !asked {
		require.NoError(t, cmd.ParseFlags(rest), line)
		require.NoError(t, cmd.ValidateArgs(cmd.Flags().Args()), line)
	}
	try, ok := tries[cmd.Name()]
	if asked {
		try, ok = runShown(exitDone), true
	}
	require.True(t, ok, "this test does not know what to do with: %s", line)
	out := try(t, cmd, args)
	if into != "" {
		require.NoError(t, os.WriteFile(into, []byte(out), 0o600))
	}
}

// tries says, by the name of a command, how to try it.
var tries = map[string]func(*testing.T, *cobra.Command, []string) string{
	"new": runShown(exitDone), "verify": runShown(exitDone), "explain": explainShown, "guide": runShown(exitDone), "ports": runShown(exitDone),
	"bash": runShown(exitDone), // completion bash
	"card": runShown(exitDone), "recheck": runShown(exitDone), "replay": runShown(exitDone), "decode": runShown(exitDone), "report": runShown(exitDone),
	"export": runShown(exitDone), "papers": runShown(exitDone), "set": runShown(exitDone),
	"soak":    runShown(exitDone),
	"doctor":  runShown(exitDone, exitWrong), // the computer may have what is to be mended
	"thin":    runShown(exitUsage),           // the sessions of the pages have no packed part
	"compare": runShown(exitDone, exitWrong), // the second may be worse
	"demo":    runBriefly, "watch": runStopped, "simulate": runSimulated,
	"draft": runDrafted,
	"drill": askSession(event.InputDrillStep), "mark": askSession(event.InputMark), "reopen": askSession(event.InputReopen),
}

// runShown runs a command to its end.
func runShown(codes ...int) func(*testing.T, *cobra.Command, []string) string {
	return func(t *testing.T, _ *cobra.Command, args []string) string {
		t.Helper()
		code, out, talk := call(t, args...)
		assert.Contains(t, codes, code, "%v: %s", args, talk)
		return out
	}
}

// explainShown explains a key, a file, or a port, which is missing here.
func explainShown(t *testing.T, cmd *cobra.Command, args []string) string {
	t.Helper()
	if given := cmd.Flags().Args(); cmd.Parent() == cmd.Root() {
		if _, err := os.Stat(given[0]); err != nil {
			return runShown(exitUsage)(t, cmd, args)
		}
	}
	return runShown(exitDone)(t, cmd, args)
}

// runBriefly runs a demo, but for a moment only.
func runBriefly(t *testing.T, cmd *cobra.Command, args []string) string {
	t.Helper()
	if folder, _ := cmd.Flags().GetString("session"); folder != "" {
		require.NoError(t, os.RemoveAll(folder)) // that of the pages before it
	}
	return runUntil(t, "frames are coming in", args)
}

// runUntil runs a command, stops it when it says a text, and gives what it printed.
func runUntil(t *testing.T, text string, args []string) string {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	out := &untilSaid{text: text, stop: stop}
	code, talk := callTo(ctx, strings.NewReader(""), out, args...)
	assert.Equal(t, exitInterrupted, code, "%v: %s", args, talk)
	assert.Contains(t, out.String(), text, "%v", args)
	return out.String()
}

// runStopped runs watch, whose ports are missing, until it is stopped.
func runStopped(t *testing.T, cmd *cobra.Command, args []string) string {
	t.Helper()
	if folder, _ := cmd.Flags().GetString("session"); folder == "" {
		args = append(args, "--session", filepath.Join(sockettest.Folder(t), "new"))
	} else if text, err := os.ReadFile(filepath.Join(folder, "sheet.yaml")); err == nil {
		require.NoError(t, os.WriteFile("mymodel.yaml", text, 0o600)) // it goes on with the sheet that it began with
	}
	return runUntil(t, "there is no port port0", args)
}

// runDrafted drafts a sheet of a session, or gets as far as the cautions where it is to listen to ports, which are
// missing. What the pages have written before comes back.
func runDrafted(t *testing.T, cmd *cobra.Command, args []string) string {
	t.Helper()
	if from, _ := cmd.Flags().GetString("from"); from != "" {
		return runShown(exitDone)(t, cmd, args)
	}
	file, _ := cmd.Flags().GetString("output")
	before, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.Remove(file))
	out := runUntil(t, "Type yes when all of this holds.", args)
	require.NoError(t, os.WriteFile(file, before, 0o600))
	return out
}

// runSimulated runs a simulated bench for a moment; its sheet stays for watch.
func runSimulated(t *testing.T, _ *cobra.Command, args []string) string {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 200*time.Millisecond)
	defer stop()
	code, out, talk := callIn(ctx, strings.NewReader(""), args...)
	assert.Equal(t, exitInterrupted, code, "%v: %s", args, talk)
	return out
}

// askSession asks what a session of the starter's model would say to an input.
func askSession(kind event.InputKind) func(*testing.T, *cobra.Command, []string) string {
	return func(t *testing.T, cmd *cobra.Command, args []string) string {
		t.Helper()
		text := strings.Replace(string(sheet.Starter()), "\ntaps:\n", "\ntaps:\n  phone: {kind: tilt}\n", 1)
		text = strings.Replace(text, "  within: 1.5s ", "  other_memory: refused\n  within: 1.5s ", 1)
		s, err := sheet.Read("starter", []byte(text+"soak: {receiver_supply: its regulator}\n")) // for all drills
		require.NoError(t, err)
		given := cmd.Flags().Args()
		switch {
		case kind == event.InputMark && cmd.Flags().Changed("strike"): // words beside it may say why
		case kind == event.InputMark:
			assert.NoError(t, api.CheckText(given[0]), "%v", args)
		case kind == event.InputReopen:
			assert.NoError(t, checkInput(s)(kind, []byte(given[0])), "%v", args)
		case len(given) > 0:
			_, ok := drill.Find(drill.Plans(s), given[0])
			assert.True(t, ok, "%v", args)
		}
		return ""
	}
}

// The check must be able to catch something.
func TestWrongCommandsOfPagesAreCaught(t *testing.T) {
	assert.Equal(t, []string{"benchproof demo", "benchproof guide"}, shown(t, "```sh\nbenchproof demo   # plays\n```\nand `benchproof guide`"))
	for _, wrong := range []string{
		"benchproof sheets new", "benchproof demo --scrip elevon", "benchproof replay", "benchproof compare one", "benchproof guide a b",
	} {
		args, _ := words(wrong)
		root := newRoot(io.Discard, io.Discard)
		cmd, rest, err := root.Find(args[1:])
		if err == nil {
			err = cmd.ParseFlags(rest)
		}
		if err == nil {
			err = cmd.ValidateArgs(cmd.Flags().Args())
		}
		assert.Error(t, err, wrong)
	}
	for _, wrong := range [][]string{{"demo", "--script", "elevons"}, {"guide", "moon"}, {"sheet", "verify", "none.yaml"}} {
		code, _, _ := call(t, wrong...)
		assert.Equal(t, exitUsage, code, wrong)
	}
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(t, err)
	assert.Error(t, checkInput(s)(event.InputReopen, []byte("moon")))
	_, ok := drill.Find(drill.Plans(s), "moon")
	assert.False(t, ok)
}

// Links of the README lead to files that are there, and so do the paths that guide and
// README name.
func TestLinksAndPathsOfPagesLead(t *testing.T) {
	link, path := regexp.MustCompile(`\]\(([^)#]+)\)`), regexp.MustCompile("`((?:cmd|decode|monitor|dashboards)/[^` ]*)`")
	for name, page := range manualPages(t) {
		base := sourceTree
		if name != "README" {
			base = filepath.Join(sourceTree, "dashboards/guide")
		}
		for _, to := range link.FindAllStringSubmatch(page, -1) {
			assert.FileExists(t, filepath.Join(base, to[1]), name)
		}
		for _, to := range path.FindAllStringSubmatch(page, -1) {
			_, err := os.Stat(filepath.Join(sourceTree, to[1]))
			assert.NoError(t, err, name)
		}
	}
}

// ofItself reads an example that is more than lines of the starter or of the settings.
func ofItself(text string) (read func(name string) error, ok bool) {
	under := func(sh string) func(string) error {
		return func(name string) error {
			_, err := sheet.Read(name, []byte(sh))
			return err
		}
	}
	if strings.HasPrefix(text, "sheet: 1\n") { // a whole one; settings name a file there
		return func(name string) error {
			_, _, err := sheet.ReadNew(name, []byte(text))
			return err
		}, true
	}
	switch key, _, _ := strings.Cut(text, ":"); key {
	case "soak", "learning": // which the starter has not
		return under(string(sheet.Starter()) + text), true
	case "taps": // in place of the starter's
		before, rest, _ := strings.Cut(string(sheet.Starter()), "\ntaps:\n")
		_, after, _ := strings.Cut(rest, "\n\n")
		return under(before + "\n" + text + "\n" + after), true
	case "papers":
		return func(name string) error {
			_, err := sheet.ReadPapers(name, []byte(text))
			return err
		}, true
	}
	return nil, false
}

// What pages show of a sheet stands in the starter, and what they show of settings is read.
func TestFilesOfPagesAreReal(t *testing.T) {
	bare := func(line string) string {
		line, _, _ = strings.Cut(line, " #")
		return strings.TrimSpace(line)
	}
	starter := map[string]bool{}
	for line := range strings.Lines(string(sheet.Starter())) {
		starter[bare(line)] = true
	}
	starter["7: {name: aid, kind: switch, positions: {first: 1040, second: 1330, third: 1640, fourth: 1930}}"] = true // in one line
	starter["windows: {from: guess}"] = true
	sheets, settings := 0, 0
	for name, page := range manualPages(t) {
		for _, block := range fence.FindAllStringSubmatch(page, -1) {
			if block[1] != "yaml" {
				continue
			}
			if read, ok := ofItself(block[2]); ok {
				assert.NoError(t, read(name), block[2])
				continue
			}
			ofSheet := name == "sheet" || name == "failsafe"
			for line := range strings.Lines(block[2]) {
				if ofSheet {
					sheets++
					assert.True(t, starter[bare(line)], "%s: %s", name, line)
					continue
				}
				settings++
				key, _, _ := strings.Cut(line, ":")
				assert.Contains(t, everySetting, key, name)
			}
		}
	}
	assert.Positive(t, sheets)
	assert.Positive(t, settings)
}

func TestTheREADMEIsShort(t *testing.T) {
	assert.LessOrEqual(t, len(strings.Fields(manualPages(t)["README"])), 900)
}

func TestGuidePrintsTopics(t *testing.T) {
	code, out, _ := call(t, "guide")
	require.Equal(t, exitDone, code)
	for _, topic := range guide.Topics() {
		assert.Contains(t, out, topic.Name)
		assert.Contains(t, out, topic.Title)
		code, page, talk := call(t, "guide", topic.Name)
		require.Equal(t, exitDone, code, talk)
		assert.True(t, strings.HasPrefix(page, topic.Title+"\n=="), topic.Name)
	}
	for wrong, want := range map[string]string{
		"wirng": "perhaps it is wiring", "fail-safe": "perhaps it is failsafe",
		"inverter": "it is spoken of in first-hour, troubleshooting", "xyzzy": "the topics are cautions, first-hour, troubleshooting,",
	} {
		code, _, talk := call(t, "guide", wrong)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, talk, want)
	}
}

func TestAPageIsSetForATerminal(t *testing.T) {
	page := "# A page\n\nSome **strong** words and a [link](wiring.md), `code` too.\n\n" +
		"- first item that is long\n  and goes on\n- second\n\n```sh\nbenchproof demo\n\n# as it is\n```\n\n" +
		"| a | b |\n|---|---|\n| `x` | y |\n\n| key | says |\n|---|---|\n| `k\\|l` | many words that do not fit into one line |\n| m | |\n\n## Next\n"
	assert.Equal(t, `A page
======

Some strong words and a link
(guide wiring), code too.

- first item that is long and
  goes on
- second

    benchproof demo

    # as it is

a  b
x  y

k|l
    many words that do not fit
    into one line
m

Next
----
`, guidePage(page, 30))
}

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/timeline"
)

// callIn runs the program in this process with a person's lines.
func callIn(ctx context.Context, in io.Reader, args ...string) (code int, stdout, stderr string) {
	var out bytes.Buffer
	code, stderr = callTo(ctx, in, &out, args...)
	return code, out.String(), stderr
}

// callTo is callIn with an output of the test's own.
func callTo(ctx context.Context, in io.Reader, out io.Writer, args ...string) (code int, stderr string) {
	var talk bytes.Buffer
	root := newRoot(out, &talk)
	root.SetIn(in)
	root.SetArgs(args)
	f := outcome(ctx, root.ExecuteContext(ctx))
	talk.WriteString(f.Error())
	return f.code, talk.String()
}

// untilSaid stops what writes to it once it has said a text.
type untilSaid struct {
	bytes.Buffer
	text string
	stop func()
}

func (u *untilSaid) Write(p []byte) (int, error) {
	n, err := u.Buffer.Write(p)
	if strings.Contains(u.String(), u.text) {
		u.stop()
	}
	return n, err
}

// WriteString is not that of the buffer.
func (u *untilSaid) WriteString(s string) (int, error) { return u.Write([]byte(s)) }

// eventOf is one of the drill "mode", for a daemon that says what it is given.
func eventOf(kind string, data any) event.Event {
	return event.Event{Kind: kind, About: "drill:mode", Data: data}
}

func prompt(n int) event.Event {
	id := []string{"mode/a/back", "mode/b/front"}[n-1]
	return eventOf(event.DrillPrompted, event.DrillPromptedData{Prompt: id, Text: "put inner somewhere", Number: n, Of: 2})
}

func answered(n int, by string) event.Event {
	id := []string{"mode/a/back", "mode/b/front"}[n-1]
	return eventOf(event.DrillAnswered, event.DrillAnsweredData{Prompt: id, Text: "put inner somewhere", By: by, Frames: 9, Signal: event.SignalLive,
		Channels: []event.ChannelMove{{Channel: 11, FromNS: 1_500_000, ToNS: 988_000, LeastNS: 988_000, MostNS: 1_500_000}}})
}

func ended(how, why string) event.Event {
	return eventOf(event.DrillEnded, event.DrillEndedData{How: how, Why: why})
}

var cautions = eventOf(event.DrillBegan, event.DrillBeganData{Cautions: []string{"The propeller is off."}, Prompts: 2})

func TestDrillLeadsAPersonThrough(t *testing.T) {
	for name, c := range map[string]struct {
		script map[string][]event.Event
		lines  string
		code   int
		steps  []string
		say    []string // on stderr
		result string   // on stdout
	}{
		"finished": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)},
				"done mode/a/back":  {answered(1, "builder"), prompt(2)},
				"done mode/b/front": {answered(2, "builder"), ended("finished", "")}},
			"yes\n\n\n", exitDone,
			[]string{"begin", "confirm", "done mode/a/back", "done mode/b/front"},
			[]string{"- The propeller is off.", "Type yes", "[1 of 2]", "put inner somewhere", "Enter when done, r to repeat, b to go back, q to abandon"},
			" 0:00.000  put inner somewhere: done; inner 1500 µs to 988 µs\n" +
				" 0:00.000  put inner somewhere: done; inner 1500 µs to 988 µs\ndrill mode finished\n",
		},
		"by the wire, nobody at the keyboard": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1), answered(1, "wire"), prompt(2), answered(2, "wire"), ended("finished", "")}},
			"yes\n", exitDone, []string{"begin", "confirm"}, nil, "put inner somewhere: seen; ",
		},
		"cautions not confirmed": {
			map[string][]event.Event{"begin": {cautions}, "abandon": {ended("abandoned", "")}},
			"no\n", exitInterrupted, []string{"begin", "abandon"}, []string{"the drill mode was abandoned"}, "",
		},
		"cautions that nobody reads": {
			map[string][]event.Event{"begin": {cautions}, "abandon": {ended("abandoned", "")}},
			"", exitInterrupted, []string{"begin", "abandon"}, nil, "",
		},
		"an Enter is no yes": {
			map[string][]event.Event{"begin": {cautions}, "abandon": {ended("abandoned", "")}},
			"\nyes\n", exitInterrupted, []string{"begin", "abandon"}, nil, "",
		},
		"abandoned": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)}, "abandon": {ended("abandoned", "")}},
			"Yes\nq\n", exitInterrupted, []string{"begin", "confirm", "abandon"}, nil, "Still open: at inner back the bus asks for damping.\n",
		},
		"timed out": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1), ended("timed out", "nothing was answered")}},
			"yes\n", exitWrong, []string{"begin", "confirm"}, []string{"timed out: nothing was answered"}, "Next: benchproof drill mode --session ",
		},
		"interrupted": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1), ended("interrupted", "the tap went away")}},
			"yes\n", exitDevice, []string{"begin", "confirm"}, []string{"interrupted: the tap went away"}, "",
		},
		"refused": {
			map[string][]event.Event{"begin": {eventOf(event.DrillRefused, event.ReasonData{Why: "the drill order is under way"})}},
			"yes\n", exitUsage, []string{"begin"}, []string{"the drill order is under way"}, "",
		},
		"no such drill": {
			map[string][]event.Event{"begin": {{Kind: event.DrillRefused, About: "session", Data: event.ReasonData{Why: "want one of mode"}}}},
			"", exitUsage, []string{"begin"}, []string{"want one of mode"}, "",
		},
		"an answer that crosses the wire's": {
			map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)},
				"done mode/a/back":  {answered(1, "wire"), prompt(2), eventOf(event.DrillRefused, event.ReasonData{Why: "the prompt is mode/b/front now"})},
				"done mode/b/front": {answered(2, "builder"), ended("finished", "")}},
			"yes\n\n\n", exitDone, []string{"begin", "confirm", "done mode/a/back", "done mode/b/front"},
			[]string{"the prompt is mode/b/front now"}, "drill mode finished\n",
		},
		"another's drill is not ours": {
			map[string][]event.Event{"begin": {{Kind: event.DrillEnded, About: "drill:order", Data: event.DrillEndedData{How: "finished"}},
				{Kind: event.DrillRefused, About: "drill:order", Data: event.ReasonData{Why: "not ours"}}, cautions},
				"abandon": {ended("abandoned", "")}},
			"q\n", exitInterrupted, []string{"begin", "abandon"}, []string{"The propeller"}, "",
		},
	} {
		t.Run(name, func(t *testing.T) {
			folder, steps := startActor(t, c.script)
			code, out, talk := callIn(t.Context(), strings.NewReader(c.lines), "drill", "mode", "--session", folder)
			assert.Equal(t, c.code, code, talk)
			assert.Equal(t, c.steps, steps())
			for _, want := range c.say {
				assert.Contains(t, talk, want)
			}
			assert.Contains(t, out, c.result)
		})
	}
}

// person reads what is said and types once a text stands there.
type person struct {
	bytes.Buffer
	keys   *io.PipeWriter
	say    [][2]string // text, keys
	typing sync.WaitGroup
}

func (p *person) Write(b []byte) (int, error) {
	n, err := p.Buffer.Write(b)
	for len(p.say) > 0 && strings.Contains(p.String(), p.say[0][0]) {
		text := p.say[0][1]
		p.say = p.say[1:]
		p.typing.Go(func() { _, _ = io.WriteString(p.keys, text) })
	}
	return n, err
}

// A step that answered nothing is said, and the prompt stands on; r and b are keys.
func TestAPersonIsAskedBackAndMayRepeatAndGoBack(t *testing.T) {
	hint := eventOf(event.DrillHint, event.DrillHintData{Prompt: "mode/a/back", Why: "no channel moved: press Enter again if it is there"})
	folder, steps := startActor(t, map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)}, "done mode/a/back": {hint},
		"repeat mode/a/back": {prompt(1)}, "back mode/a/back": {prompt(2)}, "abandon": {ended("abandoned", "")}})
	c, err := client.Dial(folder)
	require.NoError(t, err)
	defer c.Close()
	in, keys := io.Pipe()
	defer func() { _ = keys.Close() }()
	p := &person{keys: keys, say: [][2]string{{"Type yes", "yes\n"}, {"[1 of 2]", "\n"}, {"press Enter again", "r\nb\n"}, {"[2 of 2]", "q\n"}}}
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	e := &drillDialogue{name: "mode", sheet: s, claims: claim.NewIndex(s), daemon: c, out: io.Discard, talk: p, attended: true}
	err = e.run(t.Context(), in)
	p.typing.Wait()
	require.ErrorContains(t, err, "abandoned")
	assert.Equal(t, []string{"begin", "confirm", "done mode/a/back", "repeat mode/a/back", "back mode/a/back", "abandon"}, steps())
}

// What was seen before and what the drill changed is reported, with what to do next.
func TestADrillEndsWithItsResultAndTheNextStep(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	r, err := resultOf("mode", s, session.Folder(t.TempDir()))
	require.NoError(t, err)
	r.session, r.finished, r.folder, r.lines = " --session here", true, "here", s.Lines(sheettest.TwoSwitches())
	for _, c := range r.claims {
		switch c.ID {
		case "mode/damping/back", "margin/damping/back", "gain/span", "gain/fold", "gain/half":
			c.Verdict = claim.VerdictRight
		case "mode/upright/front/back":
			c.Verdict, c.Sentence = claim.VerdictWrong, "the bus asks for DAMPING: move the switch's end"
		case "mode/plain/middle":
			c.Verdict, c.Sentence = claim.VerdictStale, "at inner middle the bus asks for plain"
		case "neutral/aileron":
			c.Verdict = claim.VerdictWrong
		}
	}
	r.changed = []string{"claim:margin/damping/back", "claim:margin/hold-course/front/front", "claim:neutral/aileron"}
	var out bytes.Buffer
	r.write(&out)
	for _, want := range []string{
		"Seen right by now: 2 of the 8 claims that this drill is for, 1 of them through it.\n  Stays wrong: the bus asks for DAMPING: move the switch's end.\n",
		"After the change: benchproof reopen inner --session here\n  Still open: at inner front and outer front the bus is at least",
		"Stale, to be seen anew: at inner middle the bus asks for plain.\n",
		"  And 1 more open; benchproof report here lists them.\n",
		"Wrong too, of other drills or none:\n  line ",
		"Next: after the change benchproof drill mode --session here once more, then benchproof drill order --session here\n",
	} {
		assert.Contains(t, out.String(), want)
	}
	assert.NotContains(t, out.String(), "hold-course/front", "no claim's ID")
	out.Reset()
	r.finished = false
	r.write(&out)
	assert.Contains(t, out.String(), "Seen right by now: 2 of the 8 claims that this drill is for, 1 of them through it.\n")
	assert.Contains(t, out.String(), "Next: benchproof drill mode --session here once more, from its first prompt\n")
}

// What an open claim lacks no event says: the session that runs is asked.
func TestTheEndOfADrillSaysWhatIsLacking(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	r, err := resultOf("mode", s, session.Folder(t.TempDir()))
	require.NoError(t, err)
	for _, c := range r.claims {
		if c.ID == "mode/upright/front/back" {
			c.Verdict, c.Sentence = claim.VerdictWrong, "the bus asks for DAMPING"
		}
	}
	r.lack([]client.Claim{
		{ID: "mode/damping/back", Verdict: "open", Sentence: "it stood there for 0.1 s of the 0.5 s that it takes"},
		{ID: "mode/plain/middle", Verdict: "right", Sentence: "it is there"},
		{ID: "mode/upright/front/back", Verdict: "open", Sentence: "older than the event"},
	})
	var out bytes.Buffer
	r.write(&out)
	assert.Contains(t, out.String(), "Still open: it stood there for 0.1 s of the 0.5 s that it takes.")
	assert.Contains(t, out.String(), "Stays wrong: the bus asks for DAMPING.")
	assert.NotContains(t, out.String(), "it is there")
}

// However much is left, five claims are said in full, wrong ones first, and none goes
// uncounted.
func TestTheEndOfADrillFitsAScreen(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	for wrong := range 8 {
		r, err := resultOf(drill.Failsafe, s, session.Folder(t.TempDir()))
		require.NoError(t, err)
		r.folder = "here"
		n := 0
		for _, c := range r.claims {
			if c.Settle.Drill != drill.Failsafe {
				continue
			}
			if n++; n <= wrong {
				c.Verdict, c.Sentence = claim.VerdictWrong, "it went elsewhere"
			} else if n%2 == 0 {
				c.Verdict = claim.VerdictStale
			}
		}
		var out bytes.Buffer
		r.write(&out)
		told, counted := 0, 0
		for _, start := range []string{"  Stays wrong: ", "  Still open: ", "  Stale, to be seen anew: "} {
			told += strings.Count(out.String(), start)
		}
		for _, m := range regexp.MustCompile(`(\d+) more `).FindAllStringSubmatch(out.String(), -1) {
			more, err := strconv.Atoi(m[1])
			require.NoError(t, err)
			counted += more
		}
		assert.Equal(t, course.MostTold, told)
		assert.Equal(t, n, told+counted, out.String())
		assert.Equal(t, min(wrong, course.MostTold), strings.Count(out.String(), "Stays wrong: "))
		assert.LessOrEqual(t, strings.Count(out.String(), "\n"), 23)
	}
}

// What an Enter does is said before it is typed, with what is lost by an early one.
func TestAPromptSaysWhatAnEnterDoes(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	for _, c := range []struct{ drill, prompt, want string }{
		{"failsafe", "failsafe/later/wait", "  The next prompt comes by itself in 120 s. Enter goes on at once, and then presets that the transmitter " +
			"sends now and then may not have been sent by then.\n  Enter to go on early, q to abandon: "},
		{"failsafe", "failsafe/soon/off", "  The next prompt comes by itself, once the bus shows it. Enter goes on at once, and then that the transmitter " +
			"is off rests on your word, and a loss may not be told from none.\n  Enter to go on early, q to abandon: "},
		{"failsafe", "failsafe/soon/on", "do it\n\n  Enter when done, q to abandon: "},
		{"order", "order/aileron/left", "do it\n\n  Enter when done, r to repeat, b to go back, q to abandon: "},
		{"correction", "correction/pitch/there", "do it\n\n  4.5 s, then the next comes by itself, r to repeat, b to go back, q to abandon: "},
		{"none", "none/such", "do it\n\n  Enter when done, r to repeat, b to go back, q to abandon: "},
	} {
		plan, _ := drill.Find(drill.Plans(s), c.drill)
		var talk bytes.Buffer
		e := &drillDialogue{plan: plan, talk: &talk}
		e.prompted(event.DrillPromptedData{Prompt: c.prompt, Text: "do it", Number: 1, Of: 2})
		assert.True(t, strings.HasSuffix(talk.String(), c.want), talk.String())
	}
}

func TestCtrlCAbandonsTheDrill(t *testing.T) {
	folder, steps := startActor(t, map[string][]event.Event{"begin": {cautions}, "confirm": {prompt(1)}, "abandon": {ended("abandoned", "")}})
	ctx, stop := context.WithCancel(t.Context())
	in, keys := io.Pipe()
	defer func() { _ = keys.Close() }()
	go func() {
		_, _ = io.WriteString(keys, "yes\n")
		stop()
	}()
	code, _, _ := callIn(ctx, in, "drill", "mode", "--session", folder)
	assert.Equal(t, exitInterrupted, code)
	took := steps()
	assert.Equal(t, "abandon", took[len(took)-1])
}

func TestDrillListsWhatTheSheetAllows(t *testing.T) {
	folder, _ := startActor(t, nil)
	code, out, talk := callIn(t.Context(), nil, "drill", "--session", folder)
	require.Equal(t, exitDone, code, talk)
	require.Len(t, strings.Split(strings.TrimSpace(out), "\n"), 11)
	assert.Contains(t, out, "mode              5 prompts  the mode switches")
}

func TestMarkAndReopen(t *testing.T) {
	folder, took := startActor(t, nil)
	for _, c := range []struct {
		args []string
		code int
		say  string
		took []string
	}{
		{[]string{"mark", "left", "aileron up"}, exitDone, "marked: left aileron up", []string{"mark left aileron up"}},
		{[]string{"mark"}, exitUsage, "mark wants the words of a remark, got none; for instance: benchproof mark \"left aileron", nil},
		{[]string{"mark", " "}, exitUsage, "the mark says nothing", nil},
		{[]string{"mark", strings.Repeat("x", 501)}, exitUsage, "at most 500", nil},
		{[]string{"mark", strings.Repeat("x", 9999)}, exitUsage, "want at most 8192 bytes", nil},
		{[]string{"reopen", "aileron"}, exitDone, "what depends on aileron is to be seen anew", []string{"reopen aileron"}},
		{[]string{"reopen", "failsafe"}, exitDone, "failsafe", []string{"reopen failsafe"}},
		{[]string{"reopen", "everything"}, exitDone, "everything", []string{"reopen everything"}},
		{[]string{"reopen", "ailerons"}, exitUsage, `got "ailerons" to reopen, want one of everything, failsafe, outputs, aileron, elevator`, nil},
	} {
		code, out, talk := callIn(t.Context(), nil, append(c.args, "--session", folder)...)
		assert.Equal(t, c.code, code, "%v: %s", c.args, talk)
		assert.Contains(t, out+talk, c.say)
		assert.Equal(t, c.took, took())
	}
}

func TestNoRunningSessionIsASentence(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	for _, args := range [][]string{{"drill", "mode"}, {"mark", "x"}, {"reopen", "failsafe"}} {
		code, _, talk := callIn(t.Context(), nil, args...)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, talk, "no running session answers below sessions: start one with benchproof watch, or name its folder with --session")
		code, _, talk = callIn(t.Context(), nil, append(args, "--session", "here")...)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, talk, "no running session answers in here")
	}
}

// What there is to do can be read before a session runs: for the only sheet in the folder, else
// for the one that a newcomer begins with.
func TestDrillsAreListedWithoutASession(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	code, out, talk := callIn(t.Context(), nil, "drill")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "failsafe ")
	assert.Contains(t, out, "correction ")
	assert.Contains(t, strings.Join(strings.Fields(talk), " "),
		"the sheet that benchproof sheet new writes. A drill needs a running session, and no running session answers below sessions")
	require.NoError(t, os.WriteFile("only.yaml", sheettest.TwoSwitches(), 0o600))
	code, out, talk = callIn(t.Context(), nil, "drill")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "mode              5 prompts")
	assert.Contains(t, talk, "the sheet in this folder")
	code, _, talk = callIn(t.Context(), nil, "drill", "--session", "here")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "no running session answers in here")
}

// What is seen right while a prompt stands waits for its answer; what is seen wrong comes at
// once. A person's line stays where it is looked for.
func TestNothingSeenRightPushesAPromptAway(t *testing.T) {
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	var out bytes.Buffer
	e := &drillDialogue{name: "mode", sheet: s, claims: claim.NewIndex(s), out: &out, talk: io.Discard, begun: true}
	saw := func(kind, about string, data any) {
		text, err := json.Marshal(data)
		require.NoError(t, err)
		e.onEvent(&timeline.Entry{Kind: kind, About: about, Data: text})
	}
	id := claim.New(s).Claims()[0].ID
	verdict := func(v string) {
		saw(event.VerdictChanged, "claim:"+id, event.VerdictData{Verdict: v, Was: event.VerdictOpen, Sentence: "it was " + v})
	}
	saw(event.DrillPrompted, "drill:mode", event.DrillPromptedData{Prompt: "mode/a/back", Text: "put inner somewhere", Number: 1, Of: 2})
	verdict(event.VerdictRight)
	assert.Empty(t, out.String())
	saw(event.DrillAnswered, "drill:mode", event.DrillAnsweredData{Prompt: "mode/a/back", By: "wire"})
	assert.Regexp(t, `(?s)it was seen right.*mode/a/back: seen`, out.String())
	saw(event.DrillPrompted, "drill:mode", event.DrillPromptedData{Prompt: "mode/b/front", Text: "put inner somewhere", Number: 2, Of: 2})
	verdict(event.VerdictWrong)
	assert.Contains(t, out.String(), "it was seen wrong")
}

// A drill, a mark or a change in the wrong session would be wrong evidence.
func TestTwoRunningSessionsAreNotChosenFrom(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	var folders []string
	for _, folder := range []string{"sessions/a/2026-01-02-100000", "sessions/b/2026-01-01-100000"} {
		running, took := startActor(t, nil)
		require.NoError(t, os.MkdirAll(filepath.Dir(folder), 0o700))
		require.NoError(t, os.Symlink(running, folder))
		folders = append(folders, folder)
		defer func() { assert.Empty(t, took()) }()
	}
	for _, args := range [][]string{{"drill"}, {"drill", "mode"}, {"mark", "x"}, {"reopen", "failsafe"}} {
		code, _, talk := callIn(t.Context(), nil, args...)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, talk, "more than one session is running: "+strings.Join(folders, ", ")+"; name the one that is meant, with --session "+folders[0])
	}
}

// turns is a transmitter whose mode switches are put to each wanted position in
// turn, over and over.
func turns() string {
	script := simtest.Reedwing + "receiver main hold\n0s signal on\n"
	at := time.Second
	for range 30 {
		for _, step := range []string{"aid first", "aid second", "aid third", "aid fourth"} {
			script += at.String() + " " + step + "\n"
			at += 1200 * time.Millisecond
		}
	}
	return script + at.String() + " end\n"
}

// sitDown begins a session in a folder below the working folder, on a simulated bench
// whose mode switches turn, and ends it when end is called.
func sitDown(t *testing.T, folder string, talk io.Writer) (end func()) {
	require.NoError(t, os.WriteFile("turns.script", []byte(turns()), 0o600))
	scripted, err := loadScript("turns.script")
	require.NoError(t, err)
	text, err := demoSheet("turns.script", scripted)
	require.NoError(t, err)
	sh, err := sheet.Read("sheet", text)
	require.NoError(t, err)
	sit := &liveSession{folder: session.Folder(folder), sheet: sh, sheetName: "sheet", sheetText: text, every: 2}
	ends, closePorts, err := sit.simulate(scripted.Taps(), noPTYs)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	sat := make(chan error, 1)
	go func() {
		_, _, err := sit.run(ctx, io.Discard, talk, func(ctx context.Context) {
			_ = world.Play(ctx, world.New(&scripted.Plan, 1), ends, world.RealTime{})
		})
		sat <- err
	}()
	return func() {
		stop()
		require.NoError(t, <-sat)
		closePorts()
	}
}

// The whole way: the simulated bus, the daemon, the socket, a person's lines,
// and a replay that says the same.
func TestADrillFromEndToEnd(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	folder := filepath.Join("sessions", "m", "2026-01-01-000000")
	end := sitDown(t, folder, io.Discard)
	waitFor(t, folder)

	code, out, talk := callIn(t.Context(), strings.NewReader("yes\n"), "drill", "mode")
	require.Equal(t, exitDone, code, talk)
	for _, want := range []string{"put aid to first: seen", "put aid to second: seen", "put aid to third: seen",
		"put aid to fourth: seen", "drill mode finished"} {
		assert.Contains(t, out, want)
	}
	code, out, talk = callIn(t.Context(), strings.NewReader("yes\n\n\n\n\n"), "drill", "neutral")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "leave throttle cut on and hold the throttle stick fully up: done")
	code, _, talk = callIn(t.Context(), nil, "drill", "dance")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `got the drill "dance", want one of mode, gain,`)
	code, _, talk = callIn(t.Context(), nil, "mark", "all done")
	require.Equal(t, exitDone, code, talk)
	code, _, talk = callIn(t.Context(), nil, "reopen", "aid")
	require.Equal(t, exitDone, code, talk)
	end()

	journal, err := os.ReadFile(filepath.Join(folder, "timeline.jsonl"))
	require.NoError(t, err)
	for _, want := range []string{
		`"kind":"drill.answered","about":"drill:mode","data":{"prompt":"mode/hold-course/fourth","by":"wire","tap":"main","signal":"live"`,
		`"kind":"drill.answered","about":"drill:neutral"`, `"kind":"drill.refused","about":"session"`, `"text":"all done"`, `"kind":"reopened"`,
	} {
		assert.Contains(t, string(journal), want)
	}
	_, out, talk = callIn(t.Context(), nil, "replay", folder)
	assert.True(t, strings.HasPrefix(out, string(journal)), talk)
}

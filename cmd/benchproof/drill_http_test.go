package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// phone is a client over the network.
type phone struct {
	t     *testing.T
	url   string
	token string
}

// ask asks the daemon and reads what it answers.
func (p *phone) ask(method, path string, body, to any) (code int) {
	text, err := json.Marshal(body)
	require.NoError(p.t, err)
	request, err := http.NewRequestWithContext(p.t.Context(), method, p.url+path, bytes.NewReader(text))
	require.NoError(p.t, err)
	request.Header.Set("Content-Type", "application/json")
	if p.token != "" {
		request.Header.Set("Authorization", "Bearer "+p.token)
	}
	answer, err := http.DefaultClient.Do(request)
	require.NoError(p.t, err)
	defer func() { _ = answer.Body.Close() }()
	require.NoError(p.t, json.NewDecoder(answer.Body).Decode(to))
	return answer.StatusCode
}

// taken is what the daemon says to a step.
type taken struct {
	Code  int
	Seq   int64  `json:"seq"`
	Error string `json:"error"`
}

func (p *phone) step(name, do, prompt string) (said taken) {
	said.Code = p.ask(http.MethodPost, "/api/drill", &event.DrillStep{Drill: name, Do: do, Prompt: prompt, Attended: true, By: "Ann"}, &said)
	return said
}

func (p *phone) drills() (shown course.Shown) {
	require.Equal(p.t, http.StatusOK, p.ask(http.MethodGet, "/api/drills", nil, &shown))
	return shown
}

// shownBench is a session that is shown over the network, on a simulated bench that does what
// it is told.
type shownBench struct {
	t      *testing.T
	folder session.Folder
	url    string
	hands  operator.Operator
	orders chan string
	end    func()
}

const benchToken = "0123456789abcdef"

// showBench begins a session below the working folder.
func showBench(t *testing.T) *shownBench {
	scripted, err := script.ParseDriven("bench.script", []byte(simtest.Reedwing+"receiver main preset\npreset main throttle 1000\npreset main strength 1040\n"+
		"preset main aid first\npreset main teach rest\n0s signal on\n"))
	require.NoError(t, err)
	text, err := demoSheet("bench.script", scripted)
	require.NoError(t, err)
	s, err := sheet.Read("sheet", text)
	require.NoError(t, err)
	at, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	b := &shownBench{
		t: t, folder: session.Folder(filepath.Join("sessions", "m", "2026-01-01-000000")), url: "http://" + at.Addr().String(), orders: make(chan string),
		hands: operator.Operator{Sheet: s, Rand: rand.New(rand.NewPCG(7, 5)), Bus: "main"},
	}
	sit := &liveSession{
		folder: b.folder, sheet: s, sheetName: "sheet", sheetText: text, every: 2, listen: listening{at: at, token: benchToken},
	}
	ends, closePorts, err := sit.simulate(scripted.Taps(), noPTYs)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	sat := make(chan error, 1)
	go func() {
		_, _, err := sit.run(ctx, io.Discard, io.Discard, func(ctx context.Context) {
			_ = script.PlayOrders(ctx, script.Drive(scripted, 1), ends, world.RealTime{}, b.orders)
		})
		sat <- err
	}()
	b.end = func() {
		stop()
		require.NoError(t, <-sat)
		closePorts()
	}
	waitFor(t, string(b.folder))
	return b
}

func (b *shownBench) phone() *phone { return &phone{b.t, b.url, benchToken} }

// does is what hands do at a prompt, and whether they press Enter in the end.
func (b *shownBench) does(prompt string) (enter bool) {
	for _, s := range b.hands.Follow(prompt) {
		rest(b.t.Context(), s.Wait)
		if s.Do != "" {
			select {
			case b.orders <- s.Do:
			case <-b.t.Context().Done():
			}
		}
		enter = enter || s.Enter
	}
	return enter
}

// stands waits until another prompt stands than the one that began at an instant, or none does any
// more. Where a busy computer swallowed what the bus showed, a person presses Enter in the end.
func (b *shownBench) stands(on *phone, was *course.Standing) (now course.Shown) {
	patience := time.Now().Add(15 * time.Second)
	require.Eventually(b.t, func() bool {
		if now = on.drills(); now.Running == nil || now.Running.Prompt != nil && (was == nil || *now.Running.Prompt != *was) {
			return true
		}
		if time.Now().After(patience) {
			on.step(now.Running.Drill, event.StepDone, was.ID)
			patience = time.Now().Add(2 * time.Second)
		}
		return false
	}, time.Minute, 20*time.Millisecond, "behind %+v; %s", was, said(&now))
	return now
}

// said is what was said of the drill under way.
func said(now *course.Shown) string {
	if now.Running == nil {
		return ""
	}
	return fmt.Sprintf("%+v %+v %q", now.Running.Said, now.Running.Prompt, now.Running.Hints)
}

// leads a drill that is under way to its end, each prompt from another client in turn.
func (b *shownBench) leads(name string, clients ...*phone) *course.Finished {
	var was *course.Standing
	for n := 0; ; n++ {
		one, other := clients[n%len(clients)], clients[(n+1)%len(clients)]
		shown := b.stands(one, was)
		if shown.Running == nil {
			require.NotNil(b.t, shown.Ended)
			return shown.Ended
		}
		prompt := shown.Running.Prompt
		if was != nil {
			old := other.step(name, event.StepDone, was.ID)
			assert.Equal(b.t, http.StatusConflict, old.Code, "%s: %s stands no more", was.ID, old.Error)
			assert.Regexp(b.t, "got an answer to another prompt; the one that stands now is|no drill is under way", old.Error)
		}
		listed := promptOf(shown.Drills, name, prompt.ID)
		require.NotNil(b.t, listed, prompt.ID)
		assert.Equal(b.t, prompt.Text, listed.Text)
		enter := b.does(prompt.ID)
		if listed.Answers == drill.ByCount { // two minutes
			rest(b.t.Context(), 1100*time.Millisecond) // an Enter sooner is asked about, as one for the prompt before
			enter = true
		}
		if enter {
			said := one.step(name, event.StepDone, prompt.ID)
			assert.Contains(b.t, []int{http.StatusAccepted, http.StatusConflict}, said.Code, said.Error) // the wire may have been quicker
		}
		was = prompt
	}
}

func promptOf(list []course.Listed, name, id string) *course.ListedPrompt {
	for i := range list {
		for j := range list[i].Prompts {
			if p := &list[i].Prompts[j]; list[i].Name == name && p.ID == id {
				return p
			}
		}
	}
	return nil
}

// begins has a client begin a drill and another confirm its cautions.
func (b *shownBench) begins(name string, one, other *phone) {
	require.Equal(b.t, http.StatusAccepted, one.step(name, event.StepBegin, "").Code)
	shown := other.drills()
	require.NotNil(b.t, shown.Running)
	assert.Equal(b.t, []string{name, "Ann"}, []string{shown.Running.Drill, shown.Running.By})
	assert.NotEmpty(b.t, shown.Running.Cautions)
	assert.False(b.t, shown.Running.Confirmed)
	again := other.step("order", event.StepBegin, "")
	assert.Equal(b.t, []any{http.StatusConflict, fmt.Sprintf("the drill %s is under way: finish it, or abandon it with q", name)}, []any{again.Code, again.Error})
	require.Equal(b.t, http.StatusAccepted, other.step(name, event.StepConfirm, "").Code)
}

// Two clients over the network go through whole drills in turn, on a bench whose hands do
// what each prompt asks for.
func TestTwoClientsGoThroughDrillsInTurn(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	b := showBench(t)
	one, other := b.phone(), b.phone()
	for _, name := range []string{drill.Mode, drill.Failsafe} {
		b.begins(name, one, other)
		ended := b.leads(name, one, other)
		assert.Equal(t, []string{name, "finished", ""}, []string{ended.Drill, ended.How, ended.Why})
		assert.Empty(t, ended.Wrong, "%v", ended.Wrong)
		assert.Regexp(t, `^Seen right by now: [1-9]\d* of the \d+ claims that this drill is for, [1-9]\d* of them through it\.$`, ended.RightNow)
	}
	stranger := &phone{t, b.url, ""}
	assert.Equal(t, http.StatusUnauthorized, stranger.step(drill.Mode, event.StepBegin, "").Code)
	assert.NotEmpty(t, stranger.drills().Drills, "looking needs no token")
	b.end()
	journal, err := os.ReadFile(filepath.Join(string(b.folder), "timeline.jsonl"))
	require.NoError(t, err)
	assert.Contains(t, string(journal), `"kind":"loss.measured"`)
	for _, name := range []string{drill.Mode, drill.Failsafe} {
		plan, ok := drill.Find(drill.Plans(b.hands.Sheet), name)
		require.True(t, ok)
		assert.Equal(t, len(plan.Prompts), strings.Count(string(journal), `"kind":"drill.answered","about":"drill:`+name+`"`), name)
	}
}

// A client that vanishes in mid-drill leaves it standing; whoever joins sees the prompt that
// stands and goes on with it, back too, and anybody ends it.
func TestAClientVanishesInMidDrill(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	b := showBench(t)
	gone, joined := b.phone(), b.phone()
	b.begins("neutral", gone, gone)
	require.Equal(t, http.StatusAccepted, gone.step("neutral", event.StepDone, "neutral/sticks").Code)
	gone = nil // nothing more comes from it

	shown := joined.drills()
	require.NotNil(t, shown.Running)
	assert.Equal(t, "neutral/idle", shown.Running.Prompt.ID)
	assert.Greater(t, shown.NowNS, shown.Running.Prompt.SinceNS)
	require.NotEmpty(t, shown.Running.Said)
	assert.Equal(t, course.SaidAnswer, shown.Running.Said[0].What)
	require.Equal(t, http.StatusAccepted, joined.step("neutral", event.StepBack, "neutral/idle").Code)
	assert.Equal(t, "neutral/sticks", joined.drills().Running.Prompt.ID)
	before := joined.drills().Running.Prompt.SinceNS
	require.Equal(t, http.StatusAccepted, joined.step("neutral", event.StepRepeat, "neutral/sticks").Code)
	assert.Greater(t, joined.drills().Running.Prompt.SinceNS, before, "it is measured anew")
	require.Equal(t, http.StatusAccepted, joined.step("neutral", event.StepAbandon, "").Code)
	shown = joined.drills()
	assert.Nil(t, shown.Running)
	assert.Equal(t, []string{"neutral", "abandoned"}, []string{shown.Ended.Drill, shown.Ended.How})
	assert.Equal(t, course.AgainUnfinished, shown.Ended.Next.Again)
	late := joined.step("neutral", event.StepDone, "neutral/sticks")
	assert.Equal(t, http.StatusConflict, late.Code)
	assert.Contains(t, late.Error, "no drill is under way")
	assert.Nil(t, gone)
	b.end()
}

// A mark that was struck stays, struck through, in timeline, replay and report; the number of
// anything else strikes nothing.
func TestAMarkIsStruckAndStays(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	b := showBench(t)
	p := b.phone()
	var marked, struck, refused taken
	require.Equal(t, http.StatusAccepted, p.ask(http.MethodPost, "/api/mark", map[string]any{"text": "left aileron goes up"}, &marked))
	require.Equal(t, http.StatusAccepted, p.ask(http.MethodPost, "/api/mark", map[string]any{"strikes": marked.Seq, "text": "the right one did"}, &struck))
	assert.Greater(t, struck.Seq, marked.Seq)
	assert.Equal(t, http.StatusUnprocessableEntity, p.ask(http.MethodPost, "/api/mark", map[string]any{"strikes": struck.Seq}, &refused))
	assert.Equal(t, fmt.Sprintf("event %d is no mark, so there is nothing to strike: name the seq of a mark", struck.Seq), refused.Error)
	assert.Equal(t, http.StatusUnprocessableEntity, p.ask(http.MethodPost, "/api/mark", map[string]any{"strikes": int64(1) << 40}, &refused))
	b.end()
	journal, err := os.ReadFile(filepath.Join(string(b.folder), "timeline.jsonl"))
	require.NoError(t, err)
	assert.Contains(t, string(journal), `"kind":"mark","about":"session","data":{"text":"left aileron goes up"}`)
	assert.Contains(t, string(journal), `"kind":"mark.struck","about":"session","data":{"mark_ns":`)
	_, out, _ := call(t, "replay", string(b.folder))
	assert.Contains(t, out, `"kind":"mark.struck","about":"session","data":{"mark_ns":`, "a replay says so too")
	code, _, talk := call(t, "report", string(b.folder))
	require.Equal(t, exitDone, code, talk)
	page, err := os.ReadFile(filepath.Join(string(b.folder), "report.html"))
	require.NoError(t, err)
	assert.True(t, regexp.MustCompile(`<s>left aileron goes up</s> \(struck at [^)]*: the right one did\)`).Match(page))
	var record struct {
		Marks []struct {
			Text   string
			Struck *struct{ Why string }
		}
	}
	text, err := os.ReadFile(filepath.Join(string(b.folder), "record.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &record))
	require.Len(t, record.Marks, 1)
	require.NotNil(t, record.Marks[0].Struck)
	assert.Equal(t, "the right one did", record.Marks[0].Struck.Why)
}

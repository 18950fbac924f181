package course_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/drill/course"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// told is a course that is told of events, a second apart.
type told struct {
	*course.Course
	seq int64
}

func tell(t testing.TB) *told {
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	return &told{Course: course.New(s)}
}

func (c *told) of(about string, data any) {
	c.seq++
	at := unit.Time(c.seq) * 1_000_000_000
	c.Take(&event.Event{Seq: c.seq, At: at, From: at - 500_000_000, About: about, Data: data})
}

func (c *told) begin(name string) {
	c.of("drill:"+name, event.DrillBeganData{Cautions: []string{"all of it holds"}, Prompts: 3, By: "Ann"})
}

func (c *told) prompt(name, id string, number int) {
	c.of("drill:"+name, event.DrillPromptedData{Prompt: id, Text: "do " + id, Number: number, Of: 3})
}

// Who joins in the middle sees the prompt that stands, since when, and who began the drill.
func TestWhatStandsIsKnownAtEachMoment(t *testing.T) {
	c := tell(t)
	assert.Nil(t, c.Running())
	c.begin("neutral")
	r := c.Running()
	assert.Equal(t, &course.Running{
		Drill: "neutral", By: "Ann", Seq: 1, BeganNS: 1_000_000_000, Prompts: 3, Cautions: []string{"all of it holds"},
		Hints: []string{}, Said: []course.Said{}, Wrong: []course.Told{}, Walk: []course.Mark{},
	}, r)
	c.prompt("neutral", "neutral/sticks", 1)
	c.of("drill:neutral", event.DrillHintData{Prompt: "neutral/sticks", Why: "nothing moved"})
	r = c.Running()
	assert.True(t, r.Confirmed)
	assert.Equal(t, &course.Standing{ID: "neutral/sticks", Text: "do neutral/sticks", Number: 1, SinceNS: 2_000_000_000}, r.Prompt)
	assert.Equal(t, []string{"nothing moved"}, r.Hints)
	c.of("drill:neutral", event.DrillAnsweredData{Text: "let go", By: "builder"})
	assert.Nil(t, c.Running().Prompt, "what was answered stands no more")
	c.prompt("neutral", "neutral/idle", 2)
	now := c.Running()
	assert.Empty(t, now.Hints, "those were about the prompt before")
	assert.Equal(t, []course.Said{
		{Seq: 3, AtNS: 3_000_000_000, What: course.SaidHint, Text: "nothing moved"},
		{Seq: 4, AtNS: 4_000_000_000, What: course.SaidAnswer, Text: "let go: done; no live frame was heard meanwhile"},
	}, now.Said)
	assert.Equal(t, "neutral/sticks", r.Prompt.ID, "what was handed out stays as it was")
	c.of("drill:neutral", event.DrillEndedData{How: "abandoned"})
	assert.Nil(t, c.Running())
}

// A drill is under way no more once judgement began afresh, whether it could say so or not.
func TestADrillEndsWithItsJudgement(t *testing.T) {
	for name, data := range map[string]any{"resumed": event.SessionData{}, "a fault": event.FaultData{}, "ended": event.DrillEndedData{How: "interrupted"}} {
		c := tell(t)
		c.of("drill:order", event.DrillEndedData{How: "finished"})
		c.prompt("order", "order/aileron/left", 1)
		assert.Nil(t, c.Running(), "what goes before the beginning begins nothing")
		c.begin("order")
		c.prompt("order", "order/aileron/left", 1)
		c.of("session", data)
		assert.Nil(t, c.Running(), name)
	}
}

func TestWhatIsSaidIsBounded(t *testing.T) {
	c := tell(t)
	c.begin("range")
	for range 40 {
		c.of("drill:range", event.RangeMarkData{Mark: "30 m", Left: true, Frames: 1000, Missed: 20, ForNS: 9_000_000_000})
	}
	r := c.Running()
	assert.Len(t, r.Said, 12)
	assert.Equal(t, c.seq, r.Said[11].Seq)
	require.Len(t, r.Walk, 40)
	assert.Equal(t, course.Mark{Mark: "30 m", Missed: "2 %", Frames: 1000, StoodNS: 9_000_000_000}, r.Walk[0])
	c.of("drill:range", event.RangeMarkData{Mark: "40 m"})
	assert.Len(t, c.Running().Walk, 40, "somebody stands there still")
	c.of("drill:range", event.DrillEndedData{How: "timed out", Why: "nobody answered"})
	ended := c.Show(&state.State{}).Ended
	assert.Len(t, ended.Walk, 40)
	assert.Equal(t, []string{"timed out", "nobody answered"}, []string{ended.How, ended.Why})
}

// claims of a moment at which one claim of the neutral drill is right and one wrong.
func moment(c *told) *state.State {
	return &state.State{Seq: c.seq, NowNS: 9, Claims: []state.Claim{
		{ID: "neutral/aileron", Verdict: event.VerdictRight, Sentence: "aileron rests in its neutral"},
		{ID: "neutral/rudder", Verdict: event.VerdictWrong, Sentence: "rudder rests beside its neutral"},
		{ID: "gain/span", Verdict: event.VerdictWrong, Sentence: "gain spans too little"},
		{ID: "no/claim", Verdict: event.VerdictWrong},
	}}
}

func TestTheResultIsByTheClaimsOfNow(t *testing.T) {
	c := tell(t)
	c.of("claim:neutral/elevator", event.VerdictData{Verdict: event.VerdictRight})
	c.begin("neutral")
	c.of("claim:neutral/aileron", event.VerdictData{Verdict: event.VerdictWrong, Sentence: "before the first prompt"})
	c.prompt("neutral", "neutral/sticks", 1)
	c.of("claim:neutral/aileron", event.VerdictData{Verdict: event.VerdictWrong, Sentence: "at first"})
	c.of("claim:neutral/aileron", event.VerdictData{Verdict: event.VerdictRight, Sentence: "aileron rests in its neutral"})
	now := moment(c)
	c.of("drill:neutral", event.DrillEndedData{How: "finished"})
	shown := c.Show(now)
	e := shown.Ended
	assert.Equal(t, []any{c.seq, unit.Time(9), "neutral", "finished"}, []any{shown.Seq, shown.NowNS, e.Drill, e.How})
	assert.Regexp(t, `^Seen right by now: 1 of the \d+ claims that this drill is for, 1 of them through it\.$`, e.RightNow)
	assert.Empty(t, e.Undecided)
	assert.Equal(t, []course.Told{{Claim: "neutral/rudder", Sentence: "Stays wrong: rudder rests beside its neutral.", Reopens: "rudder"}}, e.Wrong)
	assert.Equal(t, "Wrong too, of other drills or none:", e.Others)
	assert.Equal(t, []course.Told{{Claim: "gain/span", Sentence: "Stays wrong: gain spans too little.", Reopens: "gain"}}, e.Elsewhere)
	assert.Len(t, e.Open, 3)
	assert.Equal(t, course.Next{Again: course.AgainChanged, Drill: "failsafe"}, e.Next)
	i := len(shown.Drills)
	for n := range shown.Drills {
		if shown.Drills[n].Name == "neutral" {
			i = n
		}
	}
	assert.Equal(t, []int{1, 1}, []int{shown.Drills[i].Claims.Right, shown.Drills[i].Claims.Wrong})
	assert.Equal(t, len(e.Open)+e.More.Open+e.More.Stale, shown.Drills[i].Claims.Open+shown.Drills[i].Claims.Stale)
}

// A picture of the claims may be older than the events; what changed meanwhile counts.
func TestAVerdictBehindThePictureCounts(t *testing.T) {
	c := tell(t)
	c.begin("neutral")
	c.prompt("neutral", "neutral/sticks", 1)
	now := moment(c)
	c.of("claim:neutral/rudder", event.VerdictData{Verdict: event.VerdictRight, Sentence: "rudder rests in its neutral"})
	c.of("drill:neutral", event.DrillEndedData{How: "abandoned"})
	e := c.Show(now).Ended
	assert.Empty(t, e.Wrong)
	assert.Contains(t, e.RightNow, "Seen right by now: 2 of")
	assert.Equal(t, course.AgainUnfinished, e.Next.Again)
	later := moment(c)
	assert.Len(t, c.Show(later).Ended.Wrong, 1, "a picture that is later counts alone")
	c.begin("order")
	assert.Contains(t, c.Show(now).Ended.RightNow, "1 of them through it", "of the drill that ended, not of the one under way")
}

// What is wrong beside a drill is named, as much of it as fits a screen.
func TestWhatIsWrongBesideIsNamed(t *testing.T) {
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	claims := claim.New(s).Claims()
	for _, c := range claims {
		c.Verdict = claim.VerdictWrong
	}
	r := course.ResultOf(drill.Neutral, drill.Plans(s), claims, nil, true)
	heading, named := r.Others()
	assert.Equal(t, fmt.Sprintf("Wrong too, of other drills or none, the first 5 of %d; the report of the session has them all:", len(r.Elsewhere)), heading)
	assert.Equal(t, r.Elsewhere[:5], named)
	for _, c := range r.Elsewhere {
		assert.NotEqual(t, drill.Neutral, c.Settle.Drill)
	}
}

// A picture that has the prompt which stands says how far it is; one of before does not.
func TestWhatIsWaitedForIsOfThePromptThatStands(t *testing.T) {
	c := tell(t)
	c.begin("neutral")
	at := func(id string) *state.Prompt {
		p := &state.Prompt{ID: id, LeftNS: 7}
		return c.Show(&state.State{Drill: "neutral", Prompt: p}).Running.Waiting
	}
	assert.Equal(t, &state.Prompt{LeftNS: 7}, at(""), "the cautions")
	c.prompt("neutral", "neutral/sticks", 1)
	assert.Nil(t, at(""))
	assert.Equal(t, &state.Prompt{ID: "neutral/sticks", LeftNS: 7}, at("neutral/sticks"))
	assert.Nil(t, c.Show(&state.State{Drill: "order", Prompt: &state.Prompt{ID: "neutral/sticks"}}).Running.Waiting)
}

// What was seen wrong is offered to be seen anew at once, and stands no more when it was.
func TestWhatWasSeenWrongIsOfferedAnew(t *testing.T) {
	c := tell(t)
	c.begin("neutral")
	c.prompt("neutral", "neutral/sticks", 1)
	c.of("claim:neutral/rudder", event.VerdictData{Verdict: event.VerdictWrong, Sentence: "rudder rests beside its neutral"})
	assert.Equal(t, []course.Told{{Claim: "neutral/rudder", Sentence: "rudder rests beside its neutral.", Reopens: "rudder"}}, c.Running().Wrong)
	c.of("claim:neutral/rudder", event.VerdictData{Verdict: event.VerdictOpen, Was: event.VerdictWrong})
	assert.Empty(t, c.Running().Wrong)
}

// What has to be done behind a drill is said with its result.
func TestWhatIsToBeDoneBehindADrill(t *testing.T) {
	c := tell(t)
	c.begin("power-up")
	c.of("drill:power-up", event.DrillEndedData{How: "finished"})
	assert.Equal(t, "The transmitter is still off: switch it on, throttle at idle, before you go on.", c.Show(&state.State{}).Ended.Then)
}

func TestADrillThatChangedNothingSaysWhatThatMayMean(t *testing.T) {
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	for name, want := range map[string]string{
		drill.Correction: "nobody tilted the model or the stabiliser is dead", drill.Order: "It changed no verdict. What", drill.Range: "",
	} {
		plan, ok := drill.Find(drill.Plans(s), name)
		require.True(t, ok)
		said := course.Undecided(plan, nil)
		assert.Contains(t, said, want)
		assert.Equal(t, want == "", said == "", name)
		assert.Empty(t, course.Undecided(plan, []string{"claim:x"}))
	}
}

// The list has what a page needs of each prompt before it stands.
func TestTheListOfDrills(t *testing.T) {
	shown := tell(t).Show(&state.State{})
	assert.Nil(t, shown.Running)
	assert.Nil(t, shown.Ended)
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	plans := drill.Plans(s)
	require.Len(t, shown.Drills, len(plans))
	for i, l := range shown.Drills {
		assert.Equal(t, plans[i].Name, l.Name)
		assert.Equal(t, plans[i].Cautions, l.Cautions)
		assert.Len(t, l.Prompts, len(plans[i].Prompts))
		assert.Equal(t, l.Loses || l.Unpowers, !l.Again, l.Name)
		for j, p := range l.Prompts {
			q := &plans[i].Prompts[j]
			assert.Equal(t, course.ListedPrompt{
				ID: q.ID, Text: q.Text, Key: plans[i].KeyWord(s, q), Answers: q.Answers(), Hands: q.Hands(), Held: q.Until.Hold, HoldNS: q.Until.After, Early: q.Early,
			}, p)
		}
	}
	n := 0
	for _, c := range claim.New(s).Claims() {
		if c.Settle.Drill == drill.Order {
			n++
		}
	}
	for _, l := range shown.Drills {
		if l.Name == drill.Order {
			assert.Equal(t, course.Counts{Open: n}, l.Claims)
		}
	}
}

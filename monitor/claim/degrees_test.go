package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// figuresOf is the book of an elevon whose sheet wants figures, with its sticks held over in the drill.
func figuresOf(t *testing.T, stick unit.Width) *claim.Book {
	text := strings.Replace(string(sheettest.TwoSwitches()), "stabiliser:\n", "stabiliser:\n  measure: [degrees, level]\n", 1)
	s, err := sheet.Read("figures", []byte(text))
	require.NoError(t, err)
	b := claim.New(s)
	sees(b, event.DrillBegan, event.AboutDrill.Called(drill.Degrees), event.DrillBeganData{})
	for _, o := range s.Corrected(sheet.Roll) {
		end := 988_000
		sees(b, event.DrillAnswered, event.AboutDrill.Called(drill.Degrees), event.DrillAnsweredData{
			Prompt: "degrees/roll/stick", By: "wire", Signal: event.SignalLive, Frames: 100,
			Channels: []event.ChannelMove{{Channel: 1, FromNS: 1_500_000, ToNS: unit.Width(end)}},
			Outputs:  []event.OutputMove{{Output: o.Number, FromNS: 1_500_000, LeastNS: 1_400_000, MostNS: 1_600_000, EndMeanNS: 1_500_000 + stick}},
		})
	}
	return b
}

func sees(b *claim.Book, kind, about string, data any) {
	b.See(&event.Event{Kind: kind, About: about, Data: data}, func(*claim.Claim, claim.Verdict) {})
}

// found is a claim of a book.
func found(t *testing.T, b *claim.Book, id string) *claim.Claim {
	for _, c := range b.Claims() {
		if c.ID == id {
			return c
		}
	}
	require.Fail(t, "no claim "+id)
	return nil
}

func TestFiguresSettle(t *testing.T) {
	answers := func(change func(d *event.AnswerFittedData)) event.AnswerFittedData {
		d := event.AnswerFittedData{Mode: "upright", Axis: sheet.Roll, By: event.RestTyped, Rests: 9, FromMDeg: -26_000, ToMDeg: 26_000,
			PerDegreeNS: -2500, PerDegreeWithinNS: 100, FarNS: 65_000, KickNS: 80_000}
		change(&d)
		return d
	}
	as := func(mode string, perDegree, within, far, kick unit.Width) event.AnswerFittedData {
		return answers(func(d *event.AnswerFittedData) {
			d.Mode, d.PerDegreeNS, d.PerDegreeWithinNS, d.FarNS, d.KickNS = mode, perDegree, within, far, kick
		})
	}
	for name, x := range map[string]struct {
		stick   unit.Width
		fit     event.AnswerFittedData
		verdict claim.Verdict
		says    string
	}{
		"as its stick": {-100_000, as("upright", -2500, 100, 65_000, 0), claim.VerdictRight,
			"-2.50 ± 0.10 µs a degree of roll, the way that aileron stick left moves it"},
		"against its stick":      {100_000, as("upright", -2500, 100, 65_000, 0), claim.VerdictWrong, "reverse the roll correction in the stabiliser, not the servo"},
		"its stick moves little": {29_999, as("upright", -2500, 100, 65_000, 0), claim.VerdictOpen, "too little to compare"},
		"and just enough":        {30_000, as("upright", 2500, 100, 65_000, 0), claim.VerdictRight, "the way that"},
		"just sure":              {-100_000, as("upright", -2500, 1249, 65_000, 0), claim.VerdictRight, "the way that"},
		"just not":               {-100_000, as("upright", -2500, 1250, 65_000, 0), claim.VerdictOpen, "no answer in proportion"},
		"far enough":             {-100_000, as("upright", -2500, 100, 12_000, 0), claim.VerdictRight, "the way that"},
		"too near":               {-100_000, as("upright", -2500, 100, 11_999, 0), claim.VerdictOpen, "no answer in proportion"},
		"hardly anything":        {-100_000, as("upright", 0, 10, 5_000, 0), claim.VerdictOpen, "no answer in proportion"},
		"nothing":                {-100_000, as("upright", 0, 10, 4_999, 0), claim.VerdictOpen, "a typed angle shows no tilt"},
		"nothing, and it was felt": {-100_000, answers(func(d *event.AnswerFittedData) { d.PerDegreeNS, d.FarNS, d.By = 0, 0, event.RestFelt }),
			claim.VerdictWrong, "the gain is at zero"},
		"it creeps":                {-100_000, answers(func(d *event.AnswerFittedData) { d.CreepNS = -12_000 }), claim.VerdictOpen, "it creeps, which is no fault"},
		"hardly":                   {-100_000, answers(func(d *event.AnswerFittedData) { d.CreepNS = 11_999 }), claim.VerdictRight, "the way that"},
		"no line":                  {-100_000, answers(func(d *event.AnswerFittedData) { d.Why = "a reason" }), claim.VerdictOpen, "a reason"},
		"a kick that returns":      {-100_000, as("damping", 0, 10, 7_999, 12_000), claim.VerdictRight, "nothing was left"},
		"a kick that is too small": {-100_000, as("damping", 0, 10, 7_999, 11_999), claim.VerdictOpen, "one brisk movement"},
		"no kick":                  {-100_000, as("damping", 0, 10, 4_999, 4_999), claim.VerdictOpen, "the gain is at zero"},
		"too much is left":         {-100_000, as("damping", -2500, 100, 30_000, 50_000), claim.VerdictWrong, "does something else in this mode"},
		"not surely":               {-100_000, as("damping", -2500, 1250, 30_000, 50_000), claim.VerdictOpen, "neither nothing nor an answer"},
		"less is left":             {-100_000, as("damping", -2500, 100, 29_999, 50_000), claim.VerdictOpen, "neither nothing nor an answer"},
	} {
		t.Run(name, func(t *testing.T) {
			b := figuresOf(t, x.stick)
			id := ""
			for _, c := range b.Claims() {
				if rest, ok := strings.CutPrefix(c.ID, "degrees/"+x.fit.Mode+"/roll/"); ok {
					id = c.ID
					sees(b, event.AnswerFitted, rest, x.fit)
				}
			}
			c := found(t, b, id)
			assert.Equal(t, x.verdict, c.Verdict, c.Sentence)
			assert.Contains(t, c.Sentence, x.says)
		})
	}
}

func TestLevelsSettle(t *testing.T) {
	for _, x := range []struct {
		level, within int64
		verdict       claim.Verdict
	}{
		{0, 2000, claim.VerdictRight}, {1300, 700, claim.VerdictRight}, {-1300, 700, claim.VerdictRight}, {1300, 701, claim.VerdictOpen},
		{2700, 700, claim.VerdictOpen}, {2701, 700, claim.VerdictWrong}, {-2701, 700, claim.VerdictWrong},
	} {
		b := figuresOf(t, -100_000)
		sees(b, event.LevelMeasured, event.AboutStabiliser,
			event.LevelMeasuredData{Mode: "upright", Off: "plain", Axis: sheet.Roll, LevelMDeg: x.level, WithinMDeg: x.within})
		c := found(t, b, "level/upright/roll")
		assert.Equal(t, x.verdict, c.Verdict, "%d: %s", x.level, c.Sentence)
	}
}

func TestWhatIsHeldSettles(t *testing.T) {
	for holds, want := range map[string]claim.Verdict{event.HoldsAttitude: claim.VerdictRight, event.HoldsCourse: claim.VerdictRight, "": claim.VerdictOpen} {
		b := figuresOf(t, -100_000)
		sees(b, event.EntryMeasured, event.AboutStabiliser, event.EntryMeasuredData{Mode: "upright", Axis: sheet.Pitch, Holds: holds, AngleMDeg: 16_000})
		assert.Equal(t, want, found(t, b, "entered/upright").Verdict, holds)
	}
	b := figuresOf(t, -100_000)
	sees(b, event.EntryMeasured, event.AboutStabiliser, event.EntryMeasuredData{Mode: "upright", Axis: sheet.Pitch, Why: "a reason", Holds: event.HoldsCourse})
	assert.Contains(t, found(t, b, "entered/upright").Sentence, "a reason")
}

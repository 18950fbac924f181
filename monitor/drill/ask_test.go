package drill_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

// exampleSheets are all sheets that this tree has, by where they stand.
func exampleSheets(t *testing.T) map[string]*sheet.Sheet {
	texts := map[string][]byte{"starter": sheet.Starter(), "two switches": sheettest.TwoSwitches()}
	for _, where := range []string{"../../testdata/corpus", "../../testdata/byhand", "../report/testdata", "../sheet/testdata"} {
		found := 0
		require.NoError(t, filepath.WalkDir(where, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(path) != ".yaml" || strings.HasPrefix(filepath.Base(path), "many-mistakes") {
				return err
			}
			found++
			texts[path], err = os.ReadFile(path)
			return err
		}))
		require.NotZero(t, found, where)
	}
	sheets := map[string]*sheet.Sheet{}
	for name, text := range texts {
		s, err := sheet.Read(name, text)
		require.NoError(t, err, name)
		sheets[name] = s
	}
	return sheets
}

// Each prompt says as data what it asks for, and is found by its ID alone.
func TestEachPromptAsksForSomething(t *testing.T) {
	for name, s := range exampleSheets(t) {
		index, seen := drill.NewIndex(s), map[string]bool{}
		for _, p := range drill.Plans(s) {
			assert.Equal(t, p.Name, index.Plan(p.Name).Name)
			for _, prompt := range p.Prompts {
				assert.False(t, seen[prompt.ID], "%s: %s twice", name, prompt.ID)
				seen[prompt.ID] = true
				assert.NotEmpty(t, prompt.Asks.Act, "%s: %s", name, prompt.ID)
				plan, ask := index.Asked(prompt.ID)
				assert.Equal(t, prompt.Asks, ask, "%s: %s", name, prompt.ID)
				assert.Equal(t, p.Name, plan.Name, "%s: %s", name, prompt.ID)
			}
		}
	}
}

func TestWhatPromptsAskFor(t *testing.T) {
	s, err := sheet.Read("two switches", sheettest.TwoSwitches())
	require.NoError(t, err)
	index := drill.NewIndex(s)
	for _, x := range []struct {
		id   string
		want drill.Ask
	}{
		{"mode/upright/front/back", drill.Ask{Act: drill.ActPut, Channel: 11, Place: "front", Mode: "upright"}},
		{"order/aileron/left", drill.Ask{Act: drill.ActHold, Channel: 1, Place: "left"}},
		{"order/aileron/neutral", drill.Ask{Act: drill.ActRelease, Channel: 1}},
		{"ends/throttle/full", drill.Ask{Act: drill.ActReach, Channel: 3, Place: "full"}},
		{"gain/centre", drill.Ask{Act: drill.ActCentre, Channel: 9}},
		{"neutral/cut-full", drill.Ask{Act: drill.ActCutFull}},
		{"failsafe/later/wait", drill.Ask{Act: drill.ActWait}},
		{"power-up/on", drill.Ask{Act: drill.ActOn}},
		{"response/damping/1/set", drill.Ask{Act: drill.ActPut, Channel: 11, Place: "back", Mode: "damping"}},
		{"response/damping/1/there", drill.Ask{Act: drill.ActTilt, Mode: "damping", Axis: sheet.Pitch}},
		{"correction/roll/other", drill.Ask{Act: drill.ActOpposite, Axis: sheet.Roll}},
		{"correction/pitch/eye", drill.Ask{Act: drill.ActLook, Channel: 2, Place: "back", Axis: sheet.Pitch}},
		{"mode/never/there", drill.Ask{}},
	} {
		_, ask := index.Asked(x.id)
		assert.Equal(t, x.want, ask, x.id)
	}
}

// A mode that is wanted at more than one combination has a prompt for each.
func TestPromptsTellCombinationsApart(t *testing.T) {
	s, err := sheet.Read("sheet", []byte(`sheet: 1
model: Table
channels:
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    one: {when: [{inner: [0, 1500]}, {inner: [1500, 2500]}], wanted_at: [{inner: back}, {inner: front}]}
`))
	require.NoError(t, err)
	_, ask := drill.NewIndex(s).Asked("mode/one/front")
	assert.Equal(t, drill.Ask{Act: drill.ActPut, Channel: 11, Place: "front", Mode: "one", At: 1}, ask)
}

func TestWhatPlansSay(t *testing.T) {
	empty, err := sheet.Read("empty", []byte("sheet: 1\nmodel: Table\nchannels:\n  1: {name: strength, kind: fixed, value: 1756}\n"))
	require.NoError(t, err)
	index := drill.NewIndex(empty) // what a drill is like does not depend on the sheet
	for name, want := range map[string][3]bool{
		drill.Mode: {}, drill.Order: {}, drill.Ends: {}, drill.Neutral: {}, drill.Gain: {}, "limit-learning": {}, "": {},
		drill.Response: {true, false, false}, drill.Correction: {true, false, false},
		drill.Failsafe: {false, true, false}, drill.PowerUp: {false, false, true},
	} {
		p := index.Plan(name)
		assert.Equal(t, name, p.Name)
		assert.Equal(t, want, [3]bool{p.Tilts, p.Loses, p.Unpowers}, name)
	}
	assert.Empty(t, index.Plan("strange").Name)
}

func TestWhichPromptsMoveNoChannel(t *testing.T) {
	for _, act := range []drill.Act{drill.ActCount, drill.ActTilt, drill.ActOpposite, drill.ActLevel, drill.ActLook, drill.ActLetGo} {
		assert.True(t, drill.Ask{Act: act}.MovesNoChannel(), act)
	}
	for _, act := range []drill.Act{drill.ActHold, drill.ActPut, drill.ActPass, drill.ActCompare, drill.ActReturn, drill.ActTurn, ""} {
		assert.False(t, drill.Ask{Act: act}.MovesNoChannel(), act)
	}
}

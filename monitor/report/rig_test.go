package report_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// begun is the wall clock when the first of the simulated sittings began.
const begun = 1_777_712_400_000_000_000 // 2026-05-02T09:00:00Z

const day = 86_400_000_000_000 // ns

// sittingPlan is a sitting that a test plays: what hands do and say, when.
type sittingPlan struct {
	sheet []byte
	setup string // settings of the simulated bench: hands, faults
	seed  uint64
	// kind is the kind of receiver of a sitting with the failsafe drill; "": the
	// signal is lost once, without a drill, by a receiver with presets.
	kind  string
	brisk bool  // sticks are moved fast, which makes short traces
	wall  int64 // of its beginning
	build string

	sh    *sheet.Sheet
	at    time.Duration
	steps strings.Builder
	says  []event.Input
}

func (b *sittingPlan) wait(d time.Duration) { b.at += d }

func (b *sittingPlan) do(format string, args ...any) {
	fmt.Fprintf(&b.steps, "%dms %s\n", b.at.Milliseconds(), fmt.Sprintf(format, args...))
}

func (b *sittingPlan) say(kind event.InputKind, data string) {
	b.says = append(b.says, event.Input{At: unit.Time(b.at), Kind: kind, Data: []byte(data)})
}

func (b *sittingPlan) step(s event.DrillStep) {
	data, _ := json.Marshal(s)
	b.say(event.InputDrillStep, string(data))
}

func (b *sittingPlan) stick(name string, us int64) {
	over := 1200 * time.Millisecond
	if b.brisk {
		over = 400 * time.Millisecond
	}
	b.do("stick %s %d over %dms", name, us, over.Milliseconds())
	b.wait(over)
}

// free is what a builder does before any drill.
func (b *sittingPlan) free() {
	b.do("signal on")
	b.wait(2 * time.Second)
	for _, step := range []string{"inner middle", "inner front", "outer front", "inner back", "outer back", "press teach for 500ms"} {
		b.do("%s", step)
		b.wait(1200 * time.Millisecond)
	}
	b.wait(time.Second)
}

// drills follows every drill but the one that makes servos move by themselves.
func (b *sittingPlan) drills() {
	for _, p := range drill.Plans(b.sh) {
		if !slices.Contains([]string{"mode", "gain", "order", "ends", "neutral"}, p.Name) {
			continue // the others lose the signal, or let servos move by themselves
		}
		b.step(event.DrillStep{Drill: p.Name, Do: event.StepBegin})
		b.wait(300 * time.Millisecond)
		b.step(event.DrillStep{Drill: p.Name, Do: event.StepConfirm})
		for _, prompt := range p.Prompts {
			b.wait(500 * time.Millisecond)
			b.follow(prompt.ID)
			b.wait(1500 * time.Millisecond)
			b.step(event.DrillStep{Drill: p.Name, Do: event.StepDone, Prompt: prompt.ID})
		}
		b.wait(500 * time.Millisecond)
		b.home()
	}
}

func (b *sittingPlan) follow(id string) {
	part := strings.Split(id, "/")
	switch part[0] {
	case "mode":
		if n := len(part); n > 5 && part[n-4] == "way" {
			b.do("%s %s", part[n-2], part[n-1])
			return
		}
		for i, position := range part[2:] {
			b.do("%s %s", []string{"inner", "outer"}[i], position)
			b.wait(400 * time.Millisecond)
		}
	case "gain":
		b.stick("gain", map[string]int64{"anticlockwise": 1500, "centre": 1756, "clockwise": 2012}[part[1]])
	case "order", "ends":
		b.gimbal(part[1], part[2])
	case "neutral":
		b.rest(part[1])
	}
}

func (b *sittingPlan) gimbal(name, end string) {
	c, _ := b.sh.ByName(name)
	if place, ok := c.Place(end); ok && end != "neutral" {
		b.stick(name, int64(place.Width/1000))
	} else {
		b.release(name)
	}
}

// rest is what the neutral drill asks for.
func (b *sittingPlan) rest(step string) {
	switch step {
	case "idle":
		b.stick("throttle", 1010)
	case "cut":
		b.do("cut on")
	case "cut-full":
		b.stick("throttle", 2012)
	}
}

func (b *sittingPlan) release(name string) {
	b.do("release %s", name)
	b.wait(500 * time.Millisecond)
}

func (b *sittingPlan) home() {
	for _, name := range []string{"aileron", "elevator", "rudder"} {
		b.release(name)
	}
	b.stick("throttle", 1010)
	b.do("cut off")
	b.wait(400 * time.Millisecond)
	b.stick("gain", 1756)
	for _, place := range []string{"inner back", "outer back"} {
		b.do("%s", place)
		b.wait(400 * time.Millisecond)
	}
}

// loss loses the signal with everything away from its preset.
func (b *sittingPlan) loss() {
	b.stick("throttle", 1600)
	b.stick("aileron", 1700)
	b.stick("gain", 1950)
	b.do("inner front")
	b.wait(time.Second)
	b.do("signal off")
	b.wait(6 * time.Second)
	b.home()
	b.do("signal on")
	b.wait(2 * time.Second)
}

// failsafeDrill does what its prompts ask for.
func (b *sittingPlan) failsafeDrill() {
	p, ok := drill.Find(drill.Plans(b.sh), drill.Failsafe)
	if !ok {
		panic("the sheet makes no failsafe drill")
	}
	b.step(event.DrillStep{Drill: p.Name, Do: event.StepBegin})
	b.wait(500 * time.Millisecond)
	b.step(event.DrillStep{Drill: p.Name, Do: event.StepConfirm})
	for _, prompt := range p.Prompts {
		b.wait(600 * time.Millisecond)
		step := event.PromptPart(prompt.ID)
		b.loseOrFind(step)
		if step != "wait" && step != event.PromptAway { // those the drill sees by itself
			b.step(event.DrillStep{Drill: p.Name, Do: event.StepDone, Prompt: prompt.ID})
		}
	}
	b.wait(time.Second)
}

func (b *sittingPlan) loseOrFind(step string) {
	switch step {
	case "wait":
		b.wait(2 * time.Minute)
	case event.PromptAway:
		b.stick("throttle", 1600)
		b.stick("gain", 1950)
		b.do("inner front")
		b.wait(1500 * time.Millisecond)
	case event.PromptOff:
		b.do("stir aileron elevator for 6s")
		b.wait(2 * time.Second)
		b.do("signal off")
		b.wait(5 * time.Second)
	case event.PromptSettle:
		b.wait(6 * time.Second)
	case event.PromptOn:
		b.home()
		b.do("signal on")
	case event.PromptBack:
		b.wait(8 * time.Second)
	}
}

// habit is the settings of the receiver.
func (b *sittingPlan) habit() string {
	if b.kind == "" {
		return "receiver main preset\n" + simtest.Presets
	}
	for _, k := range script.Receivers() {
		if k.Name == b.kind {
			return k.Setup
		}
	}
	panic("no kind of receiver is called " + b.kind)
}

// whole plays a whole sitting into a new folder below dir.
func whole(t testing.TB, dir, name string, b *sittingPlan) string {
	t.Helper()
	require.NoError(t, b.whole())
	return b.play(t, filepath.Join(dir, name))
}

// whole is what hands do in a whole sitting.
func (b *sittingPlan) whole() (err error) {
	if b.sheet == nil {
		b.sheet = sheettest.TwoSwitches()
	}
	if b.build == "" {
		b.build = "benchproof (a test)"
	}
	if b.sh, err = sheet.Read("sheet", b.sheet); err != nil {
		return err
	}
	b.free()
	if b.kind != "" { // soon after power-up, as the drill wants it
		b.failsafeDrill()
	}
	b.say(event.InputMark, "new aileron servo")
	b.drills()
	if b.kind == "" {
		b.loss()
	}
	return nil
}

// play records what the simulated bench delivers.
func (b *sittingPlan) play(t testing.TB, folder string) string {
	t.Helper()
	folder, err := b.record(folder)
	require.NoError(t, err)
	return folder
}

func (b *sittingPlan) record(folder string) (string, error) {
	text := simtest.Model + b.habit() + b.setup + b.steps.String() + fmt.Sprintf("%dms end\n", b.at.Milliseconds())
	scripted, err := script.Parse("sitting", []byte(text))
	if err != nil {
		return "", err
	}
	if err := errors.Join(os.MkdirAll(folder, 0o755), os.WriteFile(session.Folder(folder).Path(session.SheetFile), b.sheet, 0o644)); err != nil {
		return "", err
	}
	taps := []event.TapName{{Name: "main", Kind: "bus"}}
	var out bytes.Buffer
	w, err := recording.NewWriter(&out, recording.Section{Base: b.wall, Taps: taps, Build: b.build})
	if err != nil {
		return "", err
	}
	start, err := json.Marshal(event.Start{Build: b.build, WallNS: b.wall, Taps: taps})
	put := func(in *event.Input) { err = errors.Join(err, w.Write(in)) }
	put(&event.Input{Kind: event.InputBegin, Data: start})
	put(&event.Input{Tap: 1, Kind: event.InputTapUp, Data: []byte(`{"port":"simulated","settings":"100000 8E2"}`)})
	sim := world.New(&scripted.Plan, b.seed)
	says, beat := b.says, unit.Time(unit.Second)
	until := func(at unit.Time) {
		for {
			switch {
			case len(says) > 0 && says[0].At <= min(at, beat):
				put(&says[0])
				says = says[1:]
			case beat <= at:
				put(&event.Input{At: beat, Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, uint64(b.wall)+uint64(beat))})
				beat = beat.Add(unit.Second)
			default:
				return
			}
		}
	}
	for d, ok := sim.Next(); ok; d, ok = sim.Next() {
		at := unit.Time(d.At).Truncate(unit.Microsecond)
		until(at)
		put(&event.Input{At: at, Tap: 1, Kind: event.InputBytes, Data: d.Data})
	}
	end := unit.Time(b.at).Add(unit.Second)
	until(end)
	put(&event.Input{At: end, Kind: event.InputEnd})
	return folder, errors.Join(err, w.Flush(), os.WriteFile(session.Folder(folder).Path(session.RecordingFile), out.Bytes(), 0o644))
}

func sessionOf(folder string) session.Folder { return session.Folder(folder) }

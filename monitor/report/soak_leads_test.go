package report_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/report"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// leadsRun is a long run of servo leads alone, told as soakRun tells that of a bus.
type leadsRun struct{ soakRun }

func (r *leadsRun) hear(kind, about string, data any) {
	r.a.Hear(&event.Event{At: r.now, From: r.now, Kind: kind, About: about, Data: data}, &r.v, nowhere)
}

func (r *leadsRun) come(outputs ...int) {
	for _, n := range outputs {
		r.hear(event.OutputBack, event.AboutOutput.Numbered(n), event.OutputBackData{})
	}
	r.see(event.InputBeat, event.BenchTap, nil)
}

func (r *leadsRun) stop(outputs ...int) {
	for _, n := range outputs {
		r.hear(event.OutputSilent, event.AboutOutput.Numbered(n), event.SilentData{})
	}
}

// rest lets the time pass with outputs 1 and 2 where they rest, a pulse a second.
func (r *leadsRun) rest(d unit.Duration) {
	for end := r.now.Add(d); r.now < end; {
		r.now = r.now.Add(unit.Second)
		for n := 1; n <= 2; n++ {
			pulse := &event.Pulse{Output: n, Width: 1_500_000 + unit.Width(r.now/unit.Time(unit.Second)%2)*1000}
			r.a.See(&event.Observation{At: r.now, Wire: r.now, Tap: 1, Kind: event.PulseSeen, Pulse: pulse}, &r.v, nowhere)
		}
		r.see(event.InputBeat, event.BenchTap, nil)
	}
}

// quiet is a run of so many hours in which so many silences of output 2 end, an hour apart.
func quiet(hours unit.Duration, silences int) func(*leadsRun) {
	return func(r *leadsRun) {
		for range silences {
			r.rest(hour)
			r.stop(2)
			r.rest(2 * unit.Second)
			r.come(2)
		}
		r.rest((hours - unit.Duration(silences)) * hour)
	}
}

// soakedLeads is a copy of a record that has such a run.
func soakedLeads(t testing.TB, of *record.Record, declared string, run func(*leadsRun)) *record.Record {
	t.Helper()
	r := *of
	r.Sheet += declared
	s, err := sheet.Read("the record's sheet", []byte(r.Sheet))
	require.NoError(t, err)
	start := event.Start{Taps: []event.TapName{{Name: "leads", Kind: "pulses"}}}
	one := &leadsRun{soakRun{a: account.New(s), v: base.NewView(s, start.Taps)}}
	data, err := json.Marshal(start)
	require.NoError(t, err)
	one.see(event.InputBegin, event.BenchTap, data)
	one.see(event.InputTapUp, 1, nil)
	one.hear(event.BoardHeard, "tap:leads", event.BoardHeardData{})
	one.come(1, 2)
	run(one)
	r.Account, r.LengthNS = one.a.Show(&one.v), unit.Duration(one.now)
	return &r
}

// A report says that no bus was listened to, and not that a heartbeat is lacking, which would not help.
func TestThatNoBusWasListenedToIsSaid(t *testing.T) {
	_, text := unseenOf(t, string(sheettest.TwoSwitches()), func(*sittingPlan) {})
	assert.NotContains(t, text, "No bus was listened to")
	for name, tap := range map[string]struct {
		kind string
		said bool
	}{"leads": {"pulses", true}, "a phone": {"tilt", false}} {
		folder := filepath.Join(t.TempDir(), "s")
		require.NoError(t, os.MkdirAll(folder, 0o755))
		sheetText := "sheet: 1\nmodel: By hand\ntaps: {one: {kind: " + tap.kind + "}}\nchannels:\n" +
			"  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}\n"
		require.NoError(t, os.WriteFile(sessionOf(folder).Path(session.SheetFile), []byte(sheetText), 0o644))
		taps := []event.TapName{{Name: "one", Kind: tap.kind}}
		var out bytes.Buffer
		w, err := recording.NewWriter(&out, recording.Section{Base: begun, Taps: taps, Build: "test"})
		require.NoError(t, err)
		start, err := json.Marshal(event.Start{Build: "test", WallNS: begun, Taps: taps})
		require.NoError(t, err)
		require.NoError(t, w.Write(&event.Input{Kind: event.InputBegin, Data: start}))
		require.NoError(t, w.Write(&event.Input{At: unit.Time(unit.Second), Kind: event.InputEnd}))
		require.NoError(t, w.Flush())
		require.NoError(t, os.WriteFile(sessionOf(folder).Path(session.RecordingFile), out.Bytes(), 0o644))
		r, err := report.FromRecording(t.Context(), sessionOf(folder))
		require.NoError(t, err)
		text := ""
		for _, u := range r.Unseen {
			text += u.Text + "\n"
		}
		assert.Equal(t, tap.said, strings.Contains(text, "No bus was listened to: channels, modes, flags"), "%s: %s", name, text)
		assert.Equal(t, !tap.said, strings.Contains(text, "No heartbeat"), "%s: %s", name, text)
	}
}

// Who has nothing but this page of servo leads alone knows which outputs fell silent and when,
// for which of them anything is proven, and that of the link nothing is.
func TestThePageOfLeadsAlone(t *testing.T) {
	_, before, _ := smallSitting(t)
	for name, c := range map[string]struct {
		run      func(*leadsRun)
		want     []string
		wantNone []string
	}{
		"quiet": {quiet(8, 0),
			[]string{
				"leads, outputs 1, 2: No silence in 8 h.", "occasions of silences come no more often than once in 2 h on average, 95 % sure",
				"leads: no silence of an output.", "outputs heard: 1, 2", "no silence: 8", "In no hour was anything missed, silent or lost",
			},
			[]string{"that is over", "silence of an output: "}},
		"one alone, and all at once": {func(r *leadsRun) {
			quiet(3, 1)(r)
			r.stop(1, 2)
			r.rest(4 * unit.Second)
			r.come(1, 2)
			r.rest(2 * hour)
		},
			[]string{
				"silences of outputs: 2, occasions of them: 2; some outputs while others went on: once; all outputs at once and back",
				"leads: silence of output 2 of 2 May 10:00:00, 2.00 s (while the board went on); " +
					"silence of outputs 1, 2 of 2 May 12:00:02, 4.00 s (all at once: receiver or supply, it seems)",
				"which of receiver, supply, lead or a setting silenced outputs", "silence of an output: 2",
				"silences that ended: 1; outputs fell silent: twice",
			},
			[]string{"that is over"}},
		"not back": {func(r *leadsRun) { r.rest(3 * hour); r.stop(2); r.rest(hour) },
			[]string{
				"leads: no silence of an output that is over", "leads: 2 May 12:00:00: output 2 went and did not come back",
				"leads: output 2 must come back first", "what silenced the output that is not back", "silence that began before, or is not over: 1",
				"1 h in silences of outputs", "began 2 May 12:00:00: silences that ended: 0; outputs fell silent: once. ",
				"not watched, or not all outputs had pulses",
			},
			[]string{"silence of an output: "}},
	} {
		t.Run(name, func(t *testing.T) {
			r := soakedLeads(t, before, declared, c.run)
			data, err := r.Encode()
			require.NoError(t, err)
			require.NoError(t, valid(t, compiled(t), data))
			text := printed(t, r, nil, page.Options{})
			selfContained(t, text)
			words := plain(textOf(t, section(t, text, "soak")))
			for _, want := range append(c.want, "anything about the link: no bus was listened to", "an unflagged hold could not have been seen",
				"distance: 3 m", "the capture board on the servo leads", "No lithium pack that nobody watches") {
				assert.Contains(t, words, want)
			}
			for _, not := range append(c.wantNone, "live link", "missed on the air", "failsafes:", "heartbeat", "Drawn is the bus") {
				assert.NotContains(t, words, not)
			}
		})
	}
}

func TestTwoLongRunsOfLeadsAlone(t *testing.T) {
	_, before, _ := smallSitting(t)
	leads := func(hours unit.Duration, silences int) *record.Record {
		return soakedLeads(t, before, declared, quiet(hours, silences))
	}
	for name, c := range map[string]struct {
		then, now *record.Record
		taps      int
		want      []string
	}{
		"both quiet": {leads(9, 0), leads(4, 0), 1, []string{
			"Long run, leads: silences of outputs: none in 9 h then, none in 4 h now",
			"proven: on average no more often than once in 2 h (95 % sure) then, on average no more often than once in 1 h (95 % sure) now",
		}},
		"more of them, and nothing proven any more": {leads(5, 0), leads(5, 3), 1, []string{
			"silences of outputs: none in 5 h then, 3 (occasions: 3) in 5 h now. A higher count shows nothing by itself", "(95 % sure) then, nothing now",
		}},
		"a bus then, leads now":              {soaked(t, before, declared, missing(20)), leads(5, 0), 0, nil},
		"leads then, a bus of that name now": {leads(5, 0), soaked(t, before, declared, missing(20), "leads"), 0, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s, words := differences(t, c.then, c.now, c.then, c.then, c.then)
			require.NotNil(t, s)
			require.Len(t, s.Taps, c.taps, "a bus and leads are never compared")
			for i := range s.Taps {
				assert.True(t, s.Taps[i].Leads)
				assert.Nil(t, s.Taps[i].Earlier, "of leads no share is missed")
				assert.False(t, s.Taps[i].ShareDiffers)
			}
			for _, want := range c.want {
				assert.Contains(t, words, want)
			}
			for _, not := range []string{"missed on the air", "outages", "MORE", "share"} {
				assert.NotContains(t, words, not)
			}
			assert.Equal(t, 2*c.taps, strings.Count(words, "Long run, leads:"))
		})
	}
	for name, short := range map[string][2]*record.Record{
		"too short then": {soakedLeads(t, before, declared, func(r *leadsRun) { r.rest(compare.LongRun - unit.Minute) }), leads(5, 0)},
		"too short now":  {leads(5, 0), soakedLeads(t, before, declared, func(r *leadsRun) { r.rest(compare.LongRun - unit.Minute) })},
	} {
		s, _ := differences(t, short[0], short[1])
		assert.Nil(t, s, name)
	}
}

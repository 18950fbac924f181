package monitor_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/view"
)

// facts are what somebody says of the present. What is nil or lacking nobody said.
type facts struct {
	condition map[string]string // by tap
	mode      map[string]string // by bus: "--" for none
	counts    map[string]counts // by tap
	verdicts  map[string]int    // claims
	drill     string            // "" for none
	outputs   map[string]int64  // by number: ns of those whose pulses come
	troubles  []string          // of recorder and judgement, sorted
}

// counts are by the API's names; refused is the sum over the reasons.
type counts map[string]int64

// agree has each say what it says, and holds it to what the API's state says.
func (p *present) agree() {
	now := p.fromState()
	p.note(&now)
	p.sameAs(now, "health", p.fromHealth())
	p.sameAs(now, "metrics", p.fromMetrics(&now))
	p.sameAs(now, "record", p.fromRecord())
	p.sameAs(now, "summary", p.fromSummary())
	p.statusLine(&now)
}

// note keeps what was there to be said.
func (p *present) note(now *facts) {
	for tap, c := range now.condition {
		p.met[c] = true
		p.met[now.mode[tap]] = true
		for key, n := range now.counts[tap] {
			p.met[key] = p.met[key] || n > 0
			assert.GreaterOrEqual(p.t, n, p.latest[tap][key], "%s: %s of %s goes down", p.moment, key, tap)
		}
		p.latest[tap] = now.counts[tap]
	}
	for _, t := range now.troubles {
		p.met[t] = true
	}
	p.met["a drill"] = p.met["a drill"] || now.drill != ""
	p.met["outputs"] = p.met["outputs"] || len(now.outputs) > 0
	p.met["seen wrong"] = p.met["seen wrong"] || now.verdicts["seen wrong"] > 0
}

// sameAs compares what is said with what the state says.
func (p *present) sameAs(now facts, who string, said facts) {
	at := p.moment + ": " + who
	if said.condition != nil {
		assert.Equal(p.t, now.condition, said.condition, at)
	}
	if said.mode != nil {
		assert.Equal(p.t, now.mode, said.mode, at)
	}
	for tap, list := range said.counts {
		for key, n := range list {
			assert.Equal(p.t, now.counts[tap][key], n, "%s: %s of %s", at, key, tap)
		}
	}
	if said.verdicts != nil {
		assert.Equal(p.t, now.verdicts, said.verdicts, at)
	}
	if said.drill != "?" {
		assert.Equal(p.t, now.drill, said.drill, at)
	}
	if said.outputs != nil {
		assert.Equal(p.t, now.outputs, said.outputs, at)
	}
	if said.troubles != nil {
		assert.Equal(p.t, now.troubles, said.troubles, at)
	}
}

// tapJSON is a tap as the API's state and a record have it.
type tapJSON struct {
	Name, Kind, Condition, Mode string
	Asked, Heard                bool
	Refused                     []struct{ Bytes int64 }
	Board                       *struct {
		Outputs []struct {
			Number  int
			Live    bool
			WidthNS int64 `json:"width_ns"`
		}
	}
}

// countsOf takes counts from a JSON object.
func countsOf(object map[string]json.RawMessage, keys string) counts {
	found := counts{}
	for _, key := range strings.Fields(keys) {
		n, err := strconv.ParseInt(string(object[key]), 10, 64)
		if err != nil {
			n = -1 // it is lacking, and nobody agrees with that
		}
		found[key] = n
	}
	return found
}

const (
	portKeys  = "ups lost bytes bad"
	busKeys   = "frames missed failsafe damaged link_frames link_missed link_missed_runs gaps gap_runs damage_runs"
	boardKeys = "lines lost_lines dropped restarts"
)

// fromState reads /api/state.
func (p *present) fromState() facts {
	var now struct {
		NowNS  int64 `json:"now_ns"`
		SeenNS int64 `json:"seen_ns"`
		Drill  string
		Taps   []json.RawMessage
		Claims []struct{ Verdict string }

		Recorder struct {
			Recording, Stalled bool
			Trouble            string
		}
	}
	require.NoError(p.t, json.Unmarshal(p.get("/api/state"), &now), p.moment)
	f := facts{condition: map[string]string{}, mode: map[string]string{}, counts: map[string]counts{}, verdicts: map[string]int{},
		drill: now.Drill, outputs: map[string]int64{}, troubles: []string{}}
	for _, raw := range now.Taps {
		p.tapFromState(raw, &f)
	}
	for _, c := range now.Claims {
		f.verdicts[c.Verdict]++
	}
	switch r := now.Recorder; {
	case r.Stalled && !r.Recording:
		f.troubles = append(f.troubles, "disk stalled", "not recording")
	case r.Stalled:
		f.troubles = append(f.troubles, "disk stalled")
	case !r.Recording:
		f.troubles = append(f.troubles, "not recording")
	case r.Trouble != "":
		f.troubles = append(f.troubles, "disk")
	}
	if now.NowNS-now.SeenNS > 3_000_000_000 {
		f.troubles = append(f.troubles, "late")
	}
	slices.Sort(f.troubles)
	return f
}

func (p *present) tapFromState(raw json.RawMessage, f *facts) {
	var tap tapJSON
	var object map[string]json.RawMessage
	require.NoError(p.t, json.Unmarshal(raw, &tap))
	require.NoError(p.t, json.Unmarshal(raw, &object))
	f.condition[tap.Name] = tap.Condition
	all := countsOf(object, portKeys)
	for _, r := range tap.Refused {
		all["refused"] += r.Bytes
	}
	f.counts[tap.Name] = all
	if tap.Kind != "pulses" {
		maps.Copy(all, countsOf(object, busKeys))
		f.mode[tap.Name] = "--"
		if tap.Asked {
			f.mode[tap.Name] = cmpOr(tap.Mode, "no mode")
		}
		return
	}
	var board map[string]json.RawMessage
	require.NoError(p.t, json.Unmarshal(object["board"], &board))
	maps.Copy(all, countsOf(board, boardKeys))
	for _, o := range tap.Board.Outputs {
		if o.Live {
			f.outputs[fmt.Sprint(o.Number)] = o.WidthNS
		}
	}
}

func cmpOr(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// healthSays are beginnings of sentences, or what stands in them, by condition.
var healthSays = []struct{ text, condition string }{
	{"its port is not open yet", "not open yet"}, {"its port is not open: ", "not open"}, {"but nothing has come in", "nothing in"},
	{"characters came in, but no", "unreadable"}, {"but no pulse", "no pulse"}, {"the bus is silent", "silent"}, {"no output is heard", "silent"},
	{"no live frame", "no live frame"}, {"the receiver is in failsafe", "failsafe"},
	{"has not answered for two seconds", "disk stalled"}, {"is not recorded in", "not recording"}, {"trouble with the disk", "disk"},
	{"nothing has been judged", "late"},
}

// fromHealth reads /healthz.
func (p *present) fromHealth() facts {
	var health struct {
		Well     bool
		Troubles []struct{ About, Sentence string }
	}
	require.NoError(p.t, json.Unmarshal(p.get("/healthz"), &health), p.moment)
	assert.Equal(p.t, len(health.Troubles) == 0, health.Well, p.moment)
	f := facts{condition: map[string]string{}, troubles: []string{}, drill: "?"}
	for _, name := range p.listened {
		f.condition[name] = "live"
	}
	for _, trouble := range health.Troubles {
		i := slices.IndexFunc(healthSays, func(s struct{ text, condition string }) bool { return strings.Contains(trouble.Sentence, s.text) })
		require.GreaterOrEqual(p.t, i, 0, trouble.Sentence)
		if tap, ok := strings.CutPrefix(trouble.About, "tap:"); ok {
			f.condition[tap] = healthSays[i].condition
		} else {
			f.troubles = append(f.troubles, healthSays[i].condition)
		}
	}
	slices.Sort(f.troubles)
	return f
}

// metricOf is the counter of each count.
var metricOf = map[string]string{
	"ups": "tap_ups_total", "lost": "lost_bytes_total", "bytes": "received_bytes_total", "bad": "bad_bytes_total", "refused": "refused_bytes_total",
	"frames": "frames_total", "missed": "missed_frames_total", "failsafe": "failsafe_frames_total", "damaged": "damaged_frames_total",
	"link_frames": "link_frames_total", "link_missed": "link_missed_frames_total", "link_missed_runs": "link_missed_runs_total",
	"gaps": "gap_frames_total", "gap_runs": "gap_runs_total", "damage_runs": "damage_runs_total",
	"lines": "board_lines_total", "lost_lines": "board_lost_lines_total", "dropped": "board_dropped_pulses_total", "restarts": "board_restarts_total",
	"attitudes": "phone_attitudes_total", "lost_sentences": "phone_lost_sentences_total",
}

// scrape is what /metrics shows: the samples of each name.
type scrape map[string][]sample

type sample struct {
	labels map[string]string
	value  float64
}

var aLabel = regexp.MustCompile(`(\w+)="([^"]*)"`)

func scraped(text string) scrape {
	s := scrape{}
	for line := range strings.Lines(text) {
		name, ours := strings.CutPrefix(line, "benchproof_")
		if !ours {
			continue
		}
		at := strings.LastIndex(name, " ")
		value, _ := strconv.ParseFloat(strings.TrimSpace(name[at:]), 64)
		name, list, _ := strings.Cut(name[:at], "{")
		one := sample{map[string]string{}, value}
		for _, l := range aLabel.FindAllStringSubmatch(list, -1) {
			one.labels[l[1]] = l[2]
		}
		s[name] = append(s[name], one)
	}
	return s
}

// each goes over the samples of a name.
func (s scrape) each(name string, f func(labels map[string]string, value float64)) {
	for _, one := range s[name] {
		f(one.labels, one.value)
	}
}

// fromMetrics reads /metrics. They have no word for a condition: what they have is held to it.
func (p *present) fromMetrics(now *facts) facts {
	s := scraped(string(p.get("/metrics")))
	f := facts{mode: map[string]string{}, counts: map[string]counts{}, verdicts: map[string]int{}, outputs: map[string]int64{}, troubles: []string{}}
	for i, name := range p.listened {
		f.counts[name] = counts{}
		if p.now.Load().Taps[i].Kind == "bus" {
			f.mode[name] = "--"
		}
	}
	for key, name := range metricOf {
		s.each(name, func(l map[string]string, v float64) { f.counts[l["tap"]][key] += int64(v) })
	}
	s.each("mode_asked", func(l map[string]string, _ float64) { f.mode[l["tap"]] = l["mode"] })
	s.each("claims", func(l map[string]string, v float64) {
		if v > 0 {
			f.verdicts[l["verdict"]] = int(v)
		}
	})
	s.each("drill_running", func(l map[string]string, _ float64) { f.drill = l["drill"] })
	s.each("output_width_seconds", func(l map[string]string, v float64) { f.outputs[l["output"]] = int64(math.Round(v * 1e9)) })
	p.metricConditions(s, now.condition)
	f.troubles = metricTroubles(s)
	return f
}

// metricConditions holds what metrics show of a tap to its condition.
func (p *present) metricConditions(s scrape, conditions map[string]string) {
	up, live, signal := map[string]bool{}, map[string]bool{}, map[string]string{}
	s.each("tap_up", func(l map[string]string, v float64) { up[l["tap"]] = v == 1 })
	s.each("tap_live", func(l map[string]string, v float64) { live[l["tap"]] = v == 1 })
	s.each("signal", func(l map[string]string, v float64) {
		if v == 1 {
			signal[l["tap"]] = l["signal"]
		}
	})
	for tap, c := range conditions {
		heard := c == "live" || c == "failsafe" || c == "no live frame"
		assert.Equal(p.t, c != "not open" && c != "not open yet", up[tap], "%s: metrics: tap_up of %s, which is %s", p.moment, tap, c)
		assert.Equal(p.t, heard, live[tap], "%s: metrics: tap_live of %s, which is %s", p.moment, tap, c)
		assert.Equal(p.t, c == "failsafe", signal[tap] == "failsafe", "%s: metrics: signal of %s, which is %s", p.moment, tap, c)
		assert.Equal(p.t, c == "no live frame", signal[tap] == "lost", "%s: metrics: signal of %s, which is %s", p.moment, tap, c)
	}
}

func metricTroubles(s scrape) []string {
	list := []string{}
	value := func(name string) (v float64) {
		s.each(name, func(_ map[string]string, x float64) { v = x })
		return v
	}
	if value("recorder_stalled") == 1 {
		list = append(list, "disk stalled")
	}
	if value("recorder_recording") == 0 {
		list = append(list, "not recording")
	}
	if len(list) == 0 && value("recorder_trouble") == 1 {
		list = append(list, "disk")
	}
	if value("judgement_lag_seconds") > 3 {
		list = append(list, "late")
	}
	slices.Sort(list)
	return list
}

// restart has what was gathered go on from a checkpoint.
func (p *present) restart() {
	state, err := p.gather.Checkpoint()
	require.NoError(p.t, err)
	p.gather, err = record.RestoreGathering(state, p.sheet)
	require.NoError(p.t, err)
}

// fromRecord reads the record that a report would be made of.
func (p *present) fromRecord() facts {
	r, err := p.gather.Record(p.engine, "", nil)
	require.NoError(p.t, err)
	data, err := r.Encode()
	require.NoError(p.t, err)
	r, err = p.all.Record(p.engine, "", nil)
	require.NoError(p.t, err)
	again, err := r.Encode()
	require.NoError(p.t, err)
	assert.Equal(p.t, string(again), string(data), p.moment)
	p.restart()
	var said struct {
		Count  map[string]int
		Taps   []json.RawMessage
		Drills []struct {
			Name    string
			EndedNS int64 `json:"ended_ns"`
		}
	}
	require.NoError(p.t, json.Unmarshal(data, &said))
	f := facts{counts: map[string]counts{}, verdicts: map[string]int{}}
	for _, raw := range said.Taps {
		var tap tapJSON
		var object map[string]json.RawMessage
		require.NoError(p.t, json.Unmarshal(raw, &tap))
		require.NoError(p.t, json.Unmarshal(raw, &object))
		if !slices.Contains(p.listened, tap.Name) {
			continue // the sheet has it, and nobody listened
		}
		all := countsOf(object, portKeys)
		for _, r := range tap.Refused {
			all["refused"] += r.Bytes
		}
		if tap.Kind != "pulses" {
			maps.Copy(all, countsOf(object, busKeys))
		}
		f.counts[tap.Name] = all
		assert.Equal(p.t, p.everHeard(tap.Name), tap.Heard, "%s: record: %s was heard", p.moment, tap.Name)
	}
	p.lookedAt = said.Count["open_looked_at"]
	delete(said.Count, "open_looked_at") // it is part of those open
	for word, n := range said.Count {
		if n > 0 {
			f.verdicts[strings.ReplaceAll(word, "_", " ")] = n
		}
	}
	if n := len(said.Drills); n > 0 && said.Drills[n-1].EndedNS < 0 {
		f.drill = said.Drills[n-1].Name
	}
	return f
}

// everHeard reports whether frames or pulses came from a tap.
func (p *present) everHeard(name string) bool {
	return slices.ContainsFunc(p.now.Load().Taps, func(t state.Tap) bool { return t.Name == name && t.LastNS >= 0 })
}

// summarySays are the lines of a summary that have counts, in the order of these.
var summarySays = []struct {
	line *regexp.Regexp
	keys []string
}{
	{regexp.MustCompile(`^  (\w+)  frames: (\d+), [^;]*; flagged as missed in all: (\d+), as failsafe: (\d+)$`), []string{"frames", "missed", "failsafe"}},
	{regexp.MustCompile(`^    (of) a live link: (\d+), missed on the air: (\d+), in (\d+) runs?$`), []string{"link_frames", "link_missed", "link_missed_runs"}},
	{regexp.MustCompile(`^    (left) out by the bus: (\d+), in (\d+) runs?$`), []string{"gaps", "gap_runs"}},
	{regexp.MustCompile(`^    (damaged) on the wire: (\d+), bytes refused: (\d+); damage in (\d+) runs?$`), []string{"damaged", "refused", "damage_runs"}},
	{regexp.MustCompile(`^  (\w+)  lines of the capture board: (\d+), lacking: (\d+); bytes refused: (\d+); ` +
		`pulses it could not report: (\d+); begun anew: (\d+)$`), []string{"lines", "lost_lines", "refused", "dropped", "restarts"}},
	{regexp.MustCompile(`^  (\w+)  nothing could be read; (\d+) characters came in$`), []string{"bytes"}},
}

var endingCounts = regexp.MustCompile(`(\d+) seen right, (\d+) seen wrong, (\d+) open` +
	`(?: \(\d+ not looked at, (\d+) looked at but not settled\))?, (\d+) stale\.`)

// fromSummary reads the end of a sitting.
func (p *present) fromSummary() facts {
	f := facts{counts: map[string]counts{}, verdicts: map[string]int{}, drill: "?"}
	lines := view.Summary(p.now.Load(), p.seen, p.sheet)
	tap := ""
	for _, line := range lines[slices.Index(lines, "The link, since the session began:")+1:] {
		i := slices.IndexFunc(summarySays, func(s struct {
			line *regexp.Regexp
			keys []string
		}) bool {
			return s.line.MatchString(line)
		})
		require.GreaterOrEqual(p.t, i, 0, line)
		found := summarySays[i].line.FindStringSubmatch(line)
		if !strings.HasPrefix(line, "   ") {
			tap = found[1]
			f.counts[tap] = counts{}
			assert.Equal(p.t, p.everHeard(tap), !strings.Contains(line, "nothing could be read"), "%s: %s", p.moment, line)
		}
		for k, key := range summarySays[i].keys {
			n, err := strconv.ParseInt(found[k+2], 10, 64)
			require.NoError(p.t, err)
			f.counts[tap][key] = n
		}
	}
	require.Len(p.t, f.counts, len(p.listened), p.moment)
	ending := view.Ending{}
	found := endingCounts.FindStringSubmatch(strings.Join(ending.Lines(p.engine.Claims()), "\n"))
	require.NotNil(p.t, found)
	for i, verdict := range []string{"seen right", "seen wrong", "open", "looked at", "stale"} {
		if n, _ := strconv.Atoi(found[i+1]); n > 0 {
			f.verdicts[verdict] = n
		}
	}
	assert.Equal(p.t, p.lookedAt, f.verdicts["looked at"], "%s: of those open, as the record and the summary have them", p.moment)
	delete(f.verdicts, "looked at")
	return f
}

// statusWords are those of the status line.
var statusWords = map[string]string{
	"not open yet": "not open yet", "not open": "GONE", "nothing in": "nothing heard yet", "unreadable": "UNREADABLE", "no pulse": "NO PULSE",
	"silent": "SILENT", "no live frame": "NO LIVE FRAME", "failsafe": "FAILSAFE", "live": "live",
	"disk stalled": "DISK STALLED", "not recording": "NOT RECORDING", "disk": "DISK TROUBLE", "late": "JUDGED LATE",
}

// statusLine holds the status line to the state: what it says, in its own words, and that
// it says nothing else.
func (p *present) statusLine(now *facts) {
	parts := strings.Split(view.StatusLine(p.now.Load(), p.sheet, 0, false), " | ")
	var links, modes, bare []string
	var want []string
	for _, tap := range p.listened {
		word := tap + " " + statusWords[now.condition[tap]]
		if tap == "leads" {
			want = append(want, word)
			continue
		}
		links = append(links, word)
		mode := strings.ToUpper(now.mode[tap])
		modes, bare = append(modes, tap+" "+mode), append(bare, mode)
	}
	if len(slices.Compact(slices.Clone(bare))) == 1 {
		modes = bare[:1]
	}
	for _, t := range now.troubles {
		want = append(want, statusWords[t])
	}
	if n := now.verdicts["seen wrong"]; n > 0 {
		want = append(want, fmt.Sprintf("%d SEEN WRONG", n))
	}
	if now.drill != "" {
		want = append(want, "drill "+now.drill)
	}
	var widths []string
	for _, number := range slices.Sorted(maps.Keys(now.outputs)) {
		widths = append(widths, fmt.Sprintf("%s: %d", number, (now.outputs[number]+500)/1000))
	}
	if len(widths) > 0 {
		want = append(want, "outputs "+strings.Join(widths, ", ")+" µs")
	}
	require.Greater(p.t, len(parts), 1)
	assert.Equal(p.t, strings.Join(links, ", "), parts[0], "%s: status line", p.moment)
	assert.Equal(p.t, strings.Join(modes, ", "), parts[1], "%s: status line", p.moment)
	assert.Subset(p.t, parts, want, "%s: status line", p.moment)
	for _, word := range []string{"disk stalled", "not recording", "disk", "late"} {
		assert.Equal(p.t, slices.Contains(now.troubles, word), slices.Contains(parts, statusWords[word]), "%s: status line: %s", p.moment, word)
	}
	says := func(what string) bool {
		return slices.ContainsFunc(parts, func(part string) bool { return strings.Contains(part, what) })
	}
	assert.Equal(p.t, now.verdicts["seen wrong"] > 0, says("SEEN WRONG"), "%s: status line", p.moment)
	assert.Equal(p.t, now.drill != "", says("drill "), "%s: status line", p.moment)
	assert.Equal(p.t, len(widths) > 0, says("outputs "), "%s: status line", p.moment)
}

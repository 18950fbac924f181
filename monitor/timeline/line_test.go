package timeline_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
)

const wall int64 = 1_777_713_243_345_999_999 // 2026-05-02T09:14:03.345999999Z

type mode struct {
	Mode string `json:"mode"`
}

func asked() *event.Event {
	return &event.Event{Seq: 12, At: 12345678900, From: 12331000000, Kind: "mode.asked", About: "stabiliser", Data: mode{"upright"}}
}

func TestLinesPinned(t *testing.T) {
	var none *mode
	for _, c := range []struct {
		change func(*event.Event)
		wall   int64
		want   string // without the crc
	}{
		{func(*event.Event) {}, wall,
			`{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,"at":"2026-05-02T09:14:03.345Z",` +
				`"kind":"mode.asked","about":"stabiliser","data":{"mode":"upright"}`},
		{func(e *event.Event) { e.Data = nil }, 0,
			`{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,"at":"1970-01-01T00:00:00.000Z","kind":"mode.asked","about":"stabiliser","data":{}`},
		{func(e *event.Event) { e.Data = none }, 999_999,
			`{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,"at":"1970-01-01T00:00:00.000Z","kind":"mode.asked","about":"stabiliser","data":{}`},
		{func(e *event.Event) {
			e.At, e.From, e.Seq, e.Data = 0, 0, 1, map[string]string{"text": "a <b> & \"c\"\n\xff"}
		}, wall,
			`{"format":1,"seq":1,"t_ns":0,"from_ns":0,"at":"2026-05-02T09:14:03.345Z","kind":"mode.asked","about":"stabiliser","data":{"text":"a <b> & \"c\"\n\ufffd"}`},
		{func(e *event.Event) { e.Kind, e.About = "mark", `switch:"inner"` }, math.MaxInt64,
			`{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,"at":"2262-04-11T23:47:16.854Z",` +
				`"kind":"mark","about":"switch:\"inner\"","data":{"mode":"upright"}`},
	} {
		e := asked()
		c.change(e)
		got, err := timeline.Line([]byte("before\n"), e, c.wall)
		require.NoError(t, err)
		assert.Equal(t, "before\n"+string(crclog.Append(nil, []byte(c.want+"}"))), string(got))
	}
}

// One line whole; its checksum was computed apart from this program.
func TestLineWithItsSum(t *testing.T) {
	got, err := timeline.Line(nil, asked(), wall)
	require.NoError(t, err)
	assert.Equal(t,
		`{"format":1,"seq":12,"t_ns":12345678900,"from_ns":12331000000,"at":"2026-05-02T09:14:03.345Z",`+
			`"kind":"mode.asked","about":"stabiliser","data":{"mode":"upright"},"crc":"1f9f1b2d"}`+"\n",
		string(got))
}

func TestLineRefuses(t *testing.T) {
	for want, data := range map[string]any{
		"which is no JSON object":  []int{1},
		"got data of type string":  "text",
		"unsupported type":         func() {},
		"got a line of":            map[string]string{"x": strings.Repeat("y", crclog.MaxLine)},
		"render event 12 (mode.as": 7,
	} {
		e := asked()
		e.Data = data
		got, err := timeline.Line([]byte("before"), e, wall)
		require.ErrorContains(t, err, want)
		assert.Equal(t, "before", string(got))
	}
}

func TestParseGivesBack(t *testing.T) {
	line, err := timeline.Line(nil, asked(), wall)
	require.NoError(t, err)
	got, err := timeline.Parse(line[:len(line)-1])
	require.NoError(t, err)
	clear(line)
	assert.Equal(t, timeline.Entry{
		Format: 1, Seq: 12, At: 12345678900, From: 12331000000, Wall: time.UnixMilli(wall / 1e6).UTC(),
		Kind: "mode.asked", About: "stabiliser", Data: []byte(`{"mode":"upright"}`),
	}, got)
}

func seal(object string) []byte {
	line := crclog.Append(nil, []byte(object))
	return line[:len(line)-1]
}

func TestParseRefuses(t *testing.T) {
	const rest = `,"t_ns":1,"from_ns":1,"at":"2026-05-02T09:14:03.345Z","about":"session"`
	for want, line := range map[string][]byte{
		"does not agree with its crc":            append(seal(`{"format":1` + rest + `}`)[:20], `"0,"crc":"00000000"}`...),
		"no object that ends in a crc":           []byte("hello"),
		"its format is 2, this program reads 1":  seal(`{"format":2,"seq":"of a new kind"}`),
		"got format 0":                           seal(`{"seq":1,"kind":"mark","data":{}` + rest + `}`),
		"got seq 0":                              seal(`{"format":1,"kind":"mark","data":{}` + rest + `}`),
		"line 3: it has no kind":                 seal(`{"format":1,"seq":3,"data":{}` + rest + `}`),
		`line 3: got data "[1]", want an object`: seal(`{"format":1,"seq":3,"kind":"mark","data":[1]` + rest + `}`),
		`line 4: got data "", want an object`:    seal(`{"format":1,"seq":4,"kind":"mark"` + rest + `}`),
		"timeline line: json: cannot unmarshal":  seal(`{"format":1,"seq":"x"}`),
		"timeline line: invalid character":       seal(`{"format":1,"seq":}`),
		"timeline line: parsing time":            seal(`{"format":1,"seq":1,"at":"yesterday"}`),
	} {
		_, err := timeline.Parse(line)
		assert.ErrorContains(t, err, want)
	}
	_, err := timeline.Parse(seal(`{"format":2}`))
	require.ErrorIs(t, err, timeline.ErrNewer)
	assert.ErrorContains(t, err, "a newer program wrote this timeline")
}

func TestParsePassesOverNewMembers(t *testing.T) {
	e, err := timeline.Parse(seal(`{"format":1,"seq":3,"kind":"mark","data":{"text":"x"},"at":"2026-05-02T09:14:03.345Z","to_come":[1,2]}`))
	require.NoError(t, err)
	assert.Equal(t, int64(3), e.Seq)
}

// What parses can be rendered again and parses the same.
func FuzzParse(f *testing.F) {
	line, err := timeline.Line(nil, asked(), wall)
	require.NoError(f, err)
	f.Add(string(line[:len(line)-19]) + "}")
	f.Add(`{"format":2}`)
	f.Add(`{"format":1,"seq":1,"kind":"mark","data":{}}`)
	f.Fuzz(func(t *testing.T, object string) {
		_, _ = timeline.Parse([]byte(object))
		e, err := timeline.Parse(seal(object))
		year := e.Wall.Year()
		if err != nil || year < 1700 || year > 2200 {
			return
		}
		again, err := timeline.Line(nil, &event.Event{Seq: e.Seq, At: e.At, From: e.From, Kind: e.Kind, About: e.About, Data: e.Data}, e.Wall.UnixNano())
		require.NoError(t, err)
		got, err := timeline.Parse(again[:len(again)-1])
		require.NoError(t, err)
		e.Wall = time.UnixMilli(e.Wall.UnixMilli()).UTC()
		got.Wall = got.Wall.UTC()
		require.JSONEq(t, string(e.Data), string(got.Data))
		e.Data, got.Data, e.Format = nil, nil, got.Format
		require.Equal(t, e, got)
	})
}

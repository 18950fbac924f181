package api_test

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/timeline"
)

func TestTimelineIsTheJournalByteForByte(t *testing.T) {
	r := start(t, nil)
	assert.Equal(t, 200, r.get(t, "/api/timeline").code, "a journal without a line")
	last := int64(api.RingEvents + 700)
	r.publish(t, 1, last)
	for _, c := range []struct {
		query    string
		from, to int64
	}{
		{"", 1, 1000},
		{"?after=0", 1, 1000},
		{"?after=0&limit=1", 1, 1},
		{"?after=10&limit=5", 11, 15},
		{"?after=695&limit=10000", 696, last}, // the ring does not hold 700 and older
		{"?after=700&limit=3", 701, 703},
		{fmt.Sprintf("?after=%d", last-2), last - 1, last},
	} {
		got := r.get(t, "/api/timeline"+c.query)
		require.Equal(t, 200, got.code, c.query)
		require.Equal(t, "application/jsonl", got.header.Get("Content-Type"))
		require.Equal(t, string(lines(t, c.from, c.to)), got.body, c.query)
	}
	none := r.get(t, fmt.Sprintf("/api/timeline?after=%d", last))
	assert.Equal(t, 200, none.code)
	assert.Empty(t, none.body)
}

// Asking on with the last number yields the file, also with a resumed session,
// where memory has the end only, and with damage in the middle.
func TestPageAfterPage(t *testing.T) {
	r := start(t, nil)
	before := lines(t, 1, 2000)
	damaged := append([]byte(nil), before...)
	damaged[len(lines(t, 1, 499))+20] ^= 1 // event 500
	r.write(t, damaged)
	r.publish(t, 2001, 2100)
	want := string(lines(t, 1, 499)) + string(lines(t, 501, 2100))
	for _, limit := range []int{7, 300, 1000, 10_000} {
		var all strings.Builder
		for after := int64(0); ; {
			got := r.get(t, fmt.Sprintf("/api/timeline?after=%d&limit=%d", after, limit))
			require.Equal(t, 200, got.code, got.body)
			if got.body == "" {
				break
			}
			all.WriteString(got.body)
			written := strings.Split(strings.TrimSuffix(got.body, "\n"), "\n")
			e, err := timeline.Parse([]byte(written[len(written)-1]))
			require.NoError(t, err)
			after = e.Seq
		}
		require.Equal(t, want, all.String(), "limit %d", limit)
	}
}

func TestAnAnswerIsBounded(t *testing.T) {
	r := start(t, nil)
	var all []byte
	for n := int64(1); n <= 12; n++ {
		long, err := timeline.Line(nil, &event.Event{Seq: n, Kind: event.Mark, About: "session", Data: event.MarkData{Text: strings.Repeat("x", 900_000)}}, wall)
		require.NoError(t, err)
		r.write(t, long)
		r.Publish(n, long)
		all = append(all, long...)
	}
	var got string
	for after := 0; after < 12; {
		page := r.get(t, fmt.Sprintf("/api/timeline?after=%d", after))
		require.Equal(t, 200, page.code)
		require.NotEmpty(t, page.body)
		require.LessOrEqual(t, len(page.body), api.MaxPage)
		got, after = got+page.body, after+strings.Count(page.body, "\n")
	}
	assert.True(t, got == string(all), "got %d bytes, want %d", len(got), len(all))
}

func TestNonsenseIsRefused(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 12)
	for _, c := range []struct{ path, want string }{
		{"/api/timeline?after=-1", "got after \"-1\", want the number of an event"},
		{"/api/timeline?after=", "want the number of an event"},
		{"/api/timeline?after=1.5", "want the number of an event"},
		{"/api/timeline?after=%2B1", "want the number of an event"},
		{"/api/timeline?after=9223372036854775808", "want the number of an event"},
		{"/api/timeline?after=13", "the latest event of this session is 12"},
		{"/api/timeline?after=1&after=2", "got after 2 times, want it once"},
		{"/api/timeline?limit=0", "got limit \"0\", want 1 to 10000"},
		{"/api/timeline?limit=10001", "want 1 to 10000"},
		{"/api/timeline?limit=many", "want 1 to 10000"},
		{"/api/timeline?since=1", "got the parameter \"since\", want after and limit"},
		{"/api/timeline?after=%zz", "the query is not readable"},
		{"/api/timeline?after=1;limit=2", "the query is not readable"},
		{"/api/events?limit=1", "got the parameter \"limit\", want after"},
		{"/api/events?after=13", "begin anew"},
	} {
		got := r.get(t, c.path)
		assert.Equal(t, 400, got.code, c.path)
		assert.Contains(t, sentence(t, got), c.want, c.path)
	}
	for _, id := range []string{"x", "-3", "13"} {
		got := r.ask(t, "GET", "/api/events", "", "Last-Event-ID: "+id)
		assert.Equal(t, 400, got.code, id)
	}
}

// A number that state knows of but that is not shown yet is no nonsense.
func TestAheadOfWhatIsShown(t *testing.T) {
	r := start(t, nil)
	assert.Equal(t, 200, r.get(t, "/api/timeline?after=99").code, "nothing is shown yet")
	r.publish(t, 1, 12)
	now := *r.now.Load()
	now.Seq = 14
	r.now.Store(&now)
	got := r.get(t, "/api/timeline?after=14")
	assert.Equal(t, 200, got.code)
	assert.Empty(t, got.body)
	assert.Equal(t, 400, r.get(t, "/api/timeline?after=15").code)
}

func TestWithoutAJournalMemoryIsAllThereIs(t *testing.T) {
	r := start(t, func(o *api.Options) { o.Journal = nil })
	assert.Empty(t, r.get(t, "/api/timeline").body)
	r.show(t, 5, 9)
	assert.Equal(t, string(lines(t, 5, 9)), r.get(t, "/api/timeline").body)
}

func TestAJournalThatCannotBeRead(t *testing.T) {
	r := start(t, func(o *api.Options) {
		o.Journal = func() (io.ReadSeekCloser, error) { return os.Open(filepath.Join(t.TempDir(), "none")) }
	})
	r.show(t, 5, 9)
	got := r.get(t, "/api/timeline?after=2")
	assert.Equal(t, 503, got.code)
	assert.Contains(t, sentence(t, got), "older events can't be read: open ")
	assert.Contains(t, sentence(t, got), "; events from 5 on are in memory: ask with after=4")
	assert.Equal(t, string(lines(t, 5, 9)), r.get(t, "/api/timeline?after=4").body)
}

// Events that were shown but are not written yet are not held back, even where
// memory ran over meanwhile.
func TestADiskThatLagsBehind(t *testing.T) {
	r := start(t, nil)
	r.publish(t, 1, 10)
	r.show(t, 11, api.RingEvents+20) // 1 to 20 are gone from memory, 1 to 10 are in the file
	assert.Equal(t, string(lines(t, 1, 10)), r.get(t, "/api/timeline").body)
	assert.Equal(t, string(lines(t, 21, 22)), r.get(t, "/api/timeline?after=10&limit=2").body)
}

func FuzzQuery(f *testing.F) {
	for _, seed := range []string{"", "after=0", "after=12&limit=3", "after=-1", "limit=10001", "after=%31",
		"after=1&after=2", "a=b", "after=1;limit=2", "after=00000000000000000000000001"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, query string) {
		after, given, limit, err := api.ReadPlace(query, "after", "limit")
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.LessOrEqual(t, len(err.Error()), 1000, "what was sent is not sent back at length")
			return
		}
		require.GreaterOrEqual(t, after, int64(0))
		require.True(t, given || after == 0)
		require.GreaterOrEqual(t, limit, 1)
		require.LessOrEqual(t, limit, 10_000)
		again, _, limitAgain, err := api.ReadPlace(fmt.Sprintf("limit=%d&after=%d", limit, after), "after", "limit")
		require.NoError(t, err)
		require.Equal(t, after, again)
		require.Equal(t, limit, limitAgain)
	})
}

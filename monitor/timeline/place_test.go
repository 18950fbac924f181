package timeline_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/timeline"
	"benchproof.example/monitor/unit"
)

// placesOf are the places behind each of the first n events.
func placesOf(t *testing.T, n int) (list []timeline.Place) {
	t.Helper()
	j, _, err := timeline.Open(t.Context(), filestest.New(), name)
	require.NoError(t, err)
	for i := 1; i <= n; i++ {
		require.NoError(t, j.Append(events(t, unit.Time(i), unit.Time(i))))
		list = append(list, j.End())
	}
	return list
}

// A journal is read from the last place that it still has.
func TestOpenReadsFromTheLastPlaceThatIsThere(t *testing.T) {
	text, at := events(t, 1, 9), placesOf(t, 9)
	foreign := at[6]
	foreign.Seq = 8
	within := at[6]
	within.Offset += 5
	beyond := timeline.Place{Offset: int64(len(text)) + 9, Seq: 10}
	for about, c := range map[string]struct {
		places []timeline.Place
		from   int64
	}{
		"none":              {nil, 0},
		"one":               {at[2:3], 3},
		"several":           {at[2:6], 6},
		"the end":           {at[8:], 9},
		"another event's":   {[]timeline.Place{at[2], foreign}, 3},
		"within a line":     {[]timeline.Place{at[2], within}, 3},
		"behind the end":    {[]timeline.Place{at[2], beyond}, 3},
		"without an offset": {[]timeline.Place{{Seq: 3, Sum: at[2].Sum}}, 0},
	} {
		d := filestest.New()
		d.Put(name, append(bytes.Clone(text), "torn"...))
		j, found, err := timeline.Open(t.Context(), d, name, c.places...)
		require.NoError(t, err, about)
		assert.Equal(t, c.from, found.From.Seq, about)
		assert.Equal(t, 9-c.from, found.Events, about)
		assert.Equal(t, int64(4), found.Cut, about)
		assert.Equal(t, at[8], j.End(), about)
		assert.Empty(t, found.Holes, about)
		assert.Empty(t, found.Damages, about)
		for _, p := range c.places {
			if p.Seq >= c.from && p.Seq <= 9 {
				assert.Equal(t, at[p.Seq-1].Sum, found.Sums[p.Seq], about)
			}
		}
		require.NoError(t, j.Append(events(t, 10, 10)))
		require.NoError(t, j.Close())
	}
}

// What Open left unread is checked against the place.
func TestCheckUntil(t *testing.T) {
	text, at := events(t, 1, 9), placesOf(t, 9)
	check := func(text []byte) []string {
		d := filestest.New()
		d.Put(name, text)
		faults, err := timeline.CheckUntil(t.Context(), d, name, at[6])
		require.NoError(t, err)
		return faults
	}
	assert.Empty(t, check(text))
	hurt := bytes.Clone(text)
	hurt[at[1].Offset+30] ^= 1
	faults := check(hurt)
	require.Len(t, faults, 2)
	assert.Regexp(t, `^1 damaged lines \(\d+ bytes\) at byte \d+: the line does not agree with its crc$`, faults[0])
	assert.Equal(t, "events 3 to 3 are lacking", faults[1])
	swapped := append(bytes.Clone(text[:at[1].Offset]), text[at[2].Offset:at[3].Offset]...)
	swapped = append(append(swapped, text[at[1].Offset:at[2].Offset]...), text[at[3].Offset:]...)
	assert.Len(t, check(swapped), 3)
	wrong := at[6]
	wrong.Sum[0] ^= 1
	d := filestest.New()
	d.Put(name, text)
	var err error
	faults, err = timeline.CheckUntil(t.Context(), d, name, wrong)
	require.NoError(t, err)
	assert.Equal(t, []string{"its lines are others"}, faults)
	over, stop := context.WithCancel(t.Context())
	stop()
	_, err = timeline.CheckUntil(over, d, name, wrong)
	require.ErrorIs(t, err, context.Canceled)
}

// The beginning from which events are read is found wherever the number is.
func TestBehind(t *testing.T) {
	const n = 5000
	text := events(t, 1, n)
	copy(text[len(text)/2:], "some damage")
	r := bytes.NewReader(text)
	for _, seq := range []int64{0, 1, 2, 1000, n/2 - 1, n / 2, n/2 + 1, 4000, n - 1, n, n + 1} {
		at := timeline.Behind(r, int64(len(text)), seq)
		assert.True(t, at == 0 || text[at-1] == '\n', "a line begins there")
		first, _, _ := bytes.Cut(text[at:], []byte("\n"))
		number, err := timeline.Number(first)
		require.NoError(t, err)
		assert.LessOrEqual(t, number, max(1, seq), "of %d", seq)
		if at > 0 {
			assert.Greater(t, number, seq-1000, "few come before it")
		}
	}
	assert.Zero(t, timeline.Behind(r, 0, 7))
}

func TestNumber(t *testing.T) {
	line := bytes.TrimSuffix(events(t, 12, 12), []byte("\n"))
	n, err := timeline.Number(line)
	require.NoError(t, err)
	assert.Equal(t, int64(12), n)
	for _, bad := range []string{"", "{}", `{"format":1,"seq":0,"t_ns":0}`, `{"format":1,"seq":x,"t_ns":0}`} {
		_, err := timeline.Number([]byte(bad))
		assert.Error(t, err, bad)
	}
}

func TestSumAsText(t *testing.T) {
	sum := placesOf(t, 2)[1].Sum
	back, ok := timeline.ParseSum(sum.String())
	assert.True(t, ok)
	assert.Equal(t, sum, back)
	for _, bad := range []string{"", "00", "zz", sum.String() + "00", sum.String()[2:]} {
		_, ok := timeline.ParseSum(bad)
		assert.False(t, ok, bad)
	}
}

package report_test

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/report/page"
)

// Whatever stands in a record, it is refused or printed, and what was read is
// what is written.
func FuzzRecord(f *testing.F) {
	f.Add([]byte(`{"record":1,"model":"M",` +
		`"sheet":"sheet: 1\nmodel: M\nchannels: {1: {name: a, kind: fixed, value: 1500}}\n",` +
		`"traces":[{"id":"t","lines":[{}]}],"claims":[{"claim":"x","trace":"t"}],"losses":[{"trace":"t"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := record.Decode(data)
		if err != nil {
			return
		}
		first, err := r.Encode()
		require.NoError(t, err)
		again, err := record.Decode(first)
		require.NoError(t, err)
		second, err := again.Encode()
		require.NoError(t, err)
		require.Equal(t, string(first), string(second))
		_ = page.Write(io.Discard, r, nil, page.Options{}) // a sheet may be wrong
		_, _ = compare.Compare("a", r, "b", again)
	})
}

package text_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/text"
)

var shown = []struct{ in, want string }{
	{"", ""},
	{"rudder 1500 µs", "rudder 1500 µs"},
	{"שלום 三", "שלום 三"}, // letters that run the other way are read, marks are not
	{"a\x1b[2Jb", `a\u001b[2Jb`},
	{"a\x1b]0;x\ab", `a\u001b]0;x\u0007b`},
	{"a\rb\bc\x7f", `a\u000db\u0008c\u007f`},
	{"a\u009b31mb", `a\u009b31mb`},
	{"a\x9b31mb", `a\x9b31mb`}, // one byte: what an 8-bit terminal takes for it
	{"a\u202eb\u2066c\u200fd\u061ce", `a\u202eb\u2066c\u200fd\u061ce`},
	{"a\u2028b\u2029", `a\u2028b\u2029`},
	{"a\x00\xff", `a\u0000\xff`},
	{"a\xe2\x82", `a\xe2\x82`},
	{"\ufffd", "\ufffd"},
	{"👩\u200d🔧", "👩\u200d🔧"},
}

func TestPrintable(t *testing.T) {
	for _, c := range shown {
		assert.Equal(t, c.want, text.Printable(c.in))
		assert.Equal(t, c.want, text.PrintableLines(c.in))
	}
	assert.Equal(t, `a\u000ab\u0009c`, text.Printable("a\nb\tc"))
	assert.Equal(t, "a\nb\tc", text.PrintableLines("a\nb\tc"))
}

// A character that comes in pieces is the same as one that comes as a whole.
func TestWriter(t *testing.T) {
	for _, c := range append(shown, struct{ in, want string }{"a\nb\tc", "a\nb\tc"}) {
		for cut := range len(c.in) + 1 {
			var to bytes.Buffer
			w := text.Writer{To: &to}
			for _, piece := range []string{c.in[:cut], c.in[cut:]} {
				n, err := w.Write([]byte(piece))
				require.NoError(t, err)
				assert.Equal(t, len(piece), n)
			}
			require.NoError(t, w.Flush())
			assert.Equal(t, c.want, to.String())
		}
	}
}

// JSON says the same before and behind it.
func TestWriterLeavesJSONItsMeaning(t *testing.T) {
	for _, c := range shown {
		var to bytes.Buffer
		w := text.Writer{To: &to}
		require.NoError(t, json.NewEncoder(&w).Encode(c.in))
		plain, err := json.Marshal(c.in)
		require.NoError(t, err)
		var got, want string
		require.NoError(t, json.Unmarshal(plain, &want))
		require.NoError(t, json.Unmarshal(to.Bytes(), &got), to.String())
		assert.Equal(t, want, got)
	}
}

func TestPainted(t *testing.T) {
	own := []string{"\x1b[31m", "\x1b[0m"}
	for in, want := range map[string]string{
		"":                               "",
		"\x1b[31mred\x1b[0m\nplain":      "\x1b[31mred\x1b[0m\nplain",
		"\x1b[32mgreen\x1b[0m":           `\u001b[32mgreen` + "\x1b[0m",
		"\x1b[31m\u202e\x1b[0m\x1b[0m\r": "\x1b[31m" + `\u202e` + "\x1b[0m\x1b[0m" + `\u000d`,
	} {
		assert.Equal(t, want, text.Painted(in, own))
	}
}

package crclog_test

import (
	"encoding/json"
	"fmt"
	"hash/crc32"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
)

func TestLineAsWritten(t *testing.T) {
	for _, c := range []struct{ object, body string }{
		{`{"a":1}`, `{"a":1`},
		{`{"a":{"b":"}"}}`, `{"a":{"b":"}"}`},
	} {
		sum := crc32.Checksum([]byte(c.body), crc32.MakeTable(crc32.Castagnoli))
		want := fmt.Sprintf("before%s,\"crc\":\"%08x\"}\n", c.body, sum)
		assert.Equal(t, want, string(crclog.Append([]byte("before"), []byte(c.object))))
	}
}

// The check value of CRC32C over "123456789" is e3069283 (from memory).
func TestLinesPinned(t *testing.T) {
	assert.Equal(t, "e3069283", sumOf("123456789"))
	assert.Equal(t, `{"crc":"`+sumOf("{")+"\"}\n", string(crclog.Append(nil, []byte("{}"))))
	assert.Equal(t, `{"seq":12,"kind":"mark","crc":"`+sumOf(`{"seq":12,"kind":"mark"`)+"\"}\n",
		string(crclog.Append(nil, []byte(`{"seq":12,"kind":"mark"}`))))
}

// sumOf is CRC32C bit by bit, as its definition goes.
func sumOf(text string) string {
	sum := ^uint32(0)
	for _, b := range []byte(text) {
		sum ^= uint32(b)
		for range 8 {
			sum = sum>>1 ^ 0x82F63B78*(sum&1)
		}
	}
	return fmt.Sprintf("%08x", ^sum)
}

func TestOpen(t *testing.T) {
	for _, object := range []string{`{}`, `{"a":1}`, `{"crc":"00000000"}`, `{"a":",\"crc\":\"00000000\"}"}`} {
		line := crclog.Append(nil, []byte(object))
		got, err := crclog.Check(line[:len(line)-1])
		require.NoError(t, err)
		assert.Equal(t, object, string(got))
		assert.True(t, json.Valid(line))
	}
}

func TestOpenRefuses(t *testing.T) {
	line := string(crclog.Append(nil, []byte(`{"a":1}`)))
	line = line[:len(line)-1]
	for name, c := range map[string]struct {
		line string
		want error
	}{
		"empty":         {"", crclog.ErrNoChecksum},
		"newline":       {line + "\n", crclog.ErrNoChecksum},
		"carriage":      {line + "\r", crclog.ErrNoChecksum},
		"unsealed":      {`{"a":1,"b":"0123456789"}`, crclog.ErrNoChecksum},
		"no object":     {"x" + line[1:], crclog.ErrNoChecksum},
		"only the seal": {line[len(line)-18:], crclog.ErrNoChecksum},
		"comma alone":   {`{,"crc":"00000000"}`, crclog.ErrNoChecksum},
		"upper case":    {line[:len(line)-10] + "ABCDEF01\"}", crclog.ErrWrongChecksum},
		"other sum":     {line[:len(line)-10] + "00000000\"}", crclog.ErrWrongChecksum},
	} {
		_, err := crclog.Check([]byte(c.line))
		require.ErrorIs(t, err, c.want, name)
	}
}

func TestEveryFlippedBitOfALineShows(t *testing.T) {
	line := crclog.Append(nil, []byte(`{"seq":12,"t_ns":12345678900,"kind":"mark"}`))
	line = line[:len(line)-1]
	for bit := range len(line) * 8 {
		line[bit/8] ^= 1 << (bit % 8)
		_, err := crclog.Check(line)
		require.Error(t, err, "bit %d", bit)
		line[bit/8] ^= 1 << (bit % 8)
	}
}

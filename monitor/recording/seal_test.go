package recording_test

import (
	"bytes"
	"io"
	"regexp"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
)

// sealedAnew raises the format of the first section and puts the sum right.
func sealedAnew(t *testing.T, file []byte) []byte {
	from := bytes.Index(file, []byte(`{"recording":3`))
	end := from + bytes.Index(file[from:], []byte(`,"crc":"`)) + len(`,"crc":"00000000"}`)
	object, err := crclog.Check(file[from:end])
	require.NoError(t, err)
	object = bytes.Replace(object, []byte(`"recording":3`), []byte(`"recording":4`), 1)
	line := bytes.TrimSpace(crclog.Append(nil, object))
	require.Equal(t, end-from, len(line))
	copy(file[from:], line)
	return file
}

// sealedAgain puts the sums of all comments right after their text was changed.
func sealedAgain(t *testing.T, file []byte) []byte {
	t.Helper()
	for _, at := range regexp.MustCompile(`\{"(recording|interface)":[^\n]*?,"crc":"[0-9a-f]{8}"\}`).FindAllIndex(file, -1) {
		line := file[at[0]:at[1]]
		object := append(bytes.Clone(line[:len(line)-len(`,"crc":"00000000"}`)]), '}')
		copy(line, bytes.TrimSpace(crclog.Append(nil, object)))
	}
	return file
}

func unzstd(t *testing.T, packed []byte) []byte {
	z, err := zstd.NewReader(bytes.NewReader(packed))
	require.NoError(t, err)
	defer z.Close()
	plain, err := io.ReadAll(z)
	require.NoError(t, err)
	return plain
}

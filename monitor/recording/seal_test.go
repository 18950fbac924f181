package recording_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
)

// sealedAnew raises the format of the first section and puts the sum right.
func sealedAnew(t *testing.T, file []byte) []byte {
	from := bytes.Index(file, []byte(`{"recording":1`))
	end := from + bytes.IndexByte(file[from:], '}') + 1
	object, err := crclog.Check(file[from:end])
	require.NoError(t, err)
	object = bytes.Replace(object, []byte(`"recording":1`), []byte(`"recording":2`), 1)
	line := bytes.TrimSpace(crclog.Append(nil, object))
	require.Equal(t, end-from, len(line))
	copy(file[from:], line)
	return file
}

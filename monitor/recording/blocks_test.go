package recording_test

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/gopacket/gopacket/pcapgo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A general library, given what it reads in a recording, writes the same bytes.
func TestBlocksAreThoseOfAGeneralLibrary(t *testing.T) {
	file := write(t, section(3), every(t))
	r, err := pcapgo.NewNgReader(bytes.NewReader(file), pcapgo.NgReaderOptions{WantMixedLinkType: true})
	require.NoError(t, err)
	var again bytes.Buffer
	var w *pcapgo.NgWriter
	links, packets := 0, 0
	for {
		data, about, options, err := r.ReadPacketDataWithOptions()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		for ; links < r.NInterfaces(); links++ {
			link, err := r.Interface(links)
			require.NoError(t, err)
			if w == nil {
				w, err = pcapgo.NewNgWriterInterface(&again, link, pcapgo.NgWriterOptions{SectionInfo: r.SectionInfo()})
			} else {
				_, err = w.AddInterface(link)
			}
			require.NoError(t, err)
		}
		about.AncillaryData = nil
		require.NoError(t, w.WritePacketWithOptions(about, data, options))
		packets++
	}
	require.NoError(t, w.Flush())
	assert.Len(t, every(t), packets)
	assert.Equal(t, file, again.Bytes())
}

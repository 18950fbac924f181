package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadingsAreOfRows(t *testing.T) {
	for path := range readings {
		assert.Contains(t, rows, path)
	}
}

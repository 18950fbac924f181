package text_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/text"
)

func TestAnd(t *testing.T) {
	for want, names := range map[string][]string{
		"":                             nil,
		"aileron":                      {"aileron"},
		"aileron and elevator":         {"aileron", "elevator"},
		"aileron, elevator and rudder": {"aileron", "elevator", "rudder"},
	} {
		assert.Equal(t, want, text.And(names))
	}
}

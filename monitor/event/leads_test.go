package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

func TestHowFarAnOutputWentInAll(t *testing.T) {
	now := event.OutputFollowsData{Mode: "damping", LeastNS: 1_400_000, MostNS: 1_900_000}
	assert.Equal(t, &now, now.WithRange(nil))
	got := now.WithRange(&event.OutputFollowsData{Mode: "upright", LeastNS: 1_200_000, MostNS: 1_750_000})
	assert.Equal(t, &event.OutputFollowsData{Mode: "damping", LeastNS: 1_200_000, MostNS: 1_900_000}, got)
}

package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/unit"
)

func TestHowClaimsComeToBeSeen(t *testing.T) {
	index := starter(t).book.Index()
	for id, want := range map[string]string{
		"order/aileron":           "drill order",
		"position/inner/back":     "put inner to back",
		"mode/damping/back":       "put inner back",
		"mode/upright/front/back": "put inner front and outer back",
		"gain/span":               "turn gain to both ends",
		"gain/half":               "drill gain",
		"clip/inner":              "move inner through its range",
		"answers/controls":        "move a stick",
		"failsafe/flag":           "switch the transmitter off, and on again",
		"failsafe/throttle":       "move everything away from its preset, then switch the transmitter off",
		"link/moving":             "listen for longer: that something never happens takes time to see",
	} {
		if assert.Contains(t, index, id) {
			assert.Equal(t, want, index[id].Settle.String(), id)
		}
	}
	assert.Equal(t, claim.Action{Do: claim.DoPut, Settings: []claim.Setting{{Channel: "inner", Place: "back"}}}, index["position/inner/back"].Settle)
	assert.Equal(t, claim.Action{Do: claim.DoListenOn, For: unit.Minute}, index["link/spikes"].Settle)
	assert.Equal(t, "press start and let it go", claim.Action{Do: claim.DoPress, Settings: []claim.Setting{{Channel: "start"}}}.String())
}

func TestWhichFiguresAreMeasured(t *testing.T) {
	index := starter(t).book.Index()
	for _, x := range []struct {
		id, figure string
		from       int64
		measured   bool
	}{
		{"gain/span", "least_ns", 12_000, true},
		{"gain/fold", "least_ns", 0, false},
		{"position/inner/back", "width_ns", 3_000, true},
		{"position/inner/back", "off_ns", 0, false},
		{"failsafe/time", "after_ns", 50_000_000, true},
		{"failsafe/mode", "after_ns", 0, false},
		{"failsafe/throttle", "now_ns", 3_000, true},
	} {
		m, ok := index[x.id].Measure(x.figure)
		assert.Equal(t, x.measured, ok, "%s %s", x.id, x.figure)
		assert.Equal(t, x.from, m.From, "%s %s", x.id, x.figure)
	}
}

package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
)

// Whatever is sent as the step of a drill gets a sentence, or is put in as it was meant.
func FuzzDrillBody(f *testing.F) {
	for _, seed := range []string{`{"drill":"mode","do":"begin"}`, `{"drill":"mode","do":"done","prompt":"a/b","by":"Ann","asks":true}`,
		`{"drill":"","do":"begin"}`, `{"do":1}`, `{}`, `[]`, `null`, "\xff", "{", "", `{"drill":"a","do":"b"}{}`, `{"drill":"\ud800","do":"b"}`} {
		f.Add([]byte(seed))
	}
	network, owner := startOwner(f, nil)
	f.Fuzz(func(t *testing.T, body []byte) {
		got := owner.ask(t, "POST", "/api/drill", string(body), asJSON)
		var said struct {
			Accepted bool   `json:"accepted"`
			Error    string `json:"error"`
		}
		require.NoError(t, json.Unmarshal([]byte(got.body), &said), got.body)
		if got.code == 503 || got.code == 400 || got.code == 413 {
			require.NotEmpty(t, said.Error)
			require.Empty(t, network.put)
			return
		}
		require.Contains(t, []int{202, 409}, got.code)
		var meant, put event.DrillStep
		require.NoError(t, json.Unmarshal(body, &meant))
		require.NoError(t, json.Unmarshal([]byte((<-network.put)[len("drill-step "):]), &put))
		require.Equal(t, meant, put)
	})
}

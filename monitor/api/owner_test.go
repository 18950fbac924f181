package api_test

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/event"
)

// startOwner is start, with the socket served too; what it returns asks over the socket.
func startOwner(t testing.TB, change func(*api.Options)) (network, owner *rig) {
	network = start(t, change)
	folder := sockettest.Folder(t)
	l, err := socket.Listen(folder)
	require.NoError(t, err)
	dial := func(ctx context.Context, _, _ string) (net.Conn, error) { return socket.Dial(ctx, folder) }
	transport := &http.Transport{DialContext: dial}
	owner = &rig{Server: network.Server, url: "http://localhost", http: &http.Client{Transport: transport}, put: network.put}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- network.ServeOwner(ctx, l) }()
	t.Cleanup(func() {
		stop()
		transport.CloseIdleConnections()
		assert.NoError(t, <-ended)
	})
	return network, owner
}

func TestTheSocketGivesTheSameAndNeedsNoToken(t *testing.T) {
	for _, set := range []string{token, ""} {
		network, owner := startOwner(t, func(o *api.Options) { o.Token = set })
		network.publish(t, 1, 3)
		for _, path := range []string{"/", "/guide", "/healthz", "/metrics", "/api/state", "/api/claims", "/api/timeline", "/api/openapi.json"} {
			assert.Equal(t, network.get(t, path).body, owner.get(t, path).body, path)
		}
		assert.Equal(t, 202, owner.ask(t, "POST", "/api/mark", `{"text":"a"}`, asJSON).code)
		assert.Equal(t, "mark a", <-network.put)
		assert.NotEqual(t, 202, network.ask(t, "POST", "/api/mark", `{"text":"a"}`, asJSON).code)
		assert.Equal(t, 421, owner.ask(t, "GET", "/api/state", "", "Host: evil.example").code, "what leads here may be a page of somebody else")
		assert.Empty(t, network.put)
	}
	_, owner := startOwner(t, func(o *api.Options) { o.Token = "" })
	got := owner.ask(t, "POST", "/api/token", `{"token":""}`, asJSON)
	assert.Equal(t, 403, got.code)
	assert.Contains(t, sentence(t, got), "none is needed")
	assert.Empty(t, got.header.Get("Set-Cookie"))
	_, owner = startOwner(t, func(o *api.Options) { o.Put = nil })
	assert.Equal(t, 403, owner.ask(t, "POST", "/api/mark", `{"text":"a"}`, asJSON).code)
}

// No page changes anything over the socket, whatever leads a browser there.
func TestAChangeWithAnOriginIsRefusedOverTheSocket(t *testing.T) {
	_, owner := startOwner(t, nil)
	for _, headers := range [][]string{
		{"Origin: http://localhost"}, {"Origin: http://evil.example"}, {"Origin: null"}, {"Origin: "}, {"Sec-Fetch-Site: cross-site"},
		{"Origin: http://localhost", bearer}, {"Origin: http://localhost", "Sec-Fetch-Site: same-origin"},
	} {
		for path, body := range map[string]string{
			"/api/mark": `{"text":"a"}`, "/api/reopen": `{"what":"inner"}`, "/api/drill": `{"drill":"mode","do":"begin"}`, "/api/token": `{"token":"` + token + `"}`,
		} {
			got := owner.ask(t, "POST", path, body, append([]string{asJSON}, headers...)...)
			assert.Equal(t, 403, got.code, "%s %v", path, headers)
			assert.Contains(t, sentence(t, got), "page")
		}
	}
	assert.Empty(t, owner.put)
	assert.Equal(t, 200, owner.ask(t, "GET", "/api/state", "", "Origin: http://localhost").code)
	assert.Equal(t, 403, owner.ask(t, "GET", "/api/state", "", "Origin: http://evil.example").code)
}

// Strangers who take all the places there are keep the owner from nothing.
func TestTheOwnerHasPlacesOfItsOwn(t *testing.T) {
	network, owner := startOwner(t, func(o *api.Options) { o.Streams, o.Connections = 1, 8 })
	for range 100 {
		network.open(t, "/api/events")
	}
	require.Eventually(t, func() bool { return network.Streams() == 1 }, 10*time.Second, time.Millisecond)
	f := owner.follow(t, "")
	require.Eventually(t, func() bool { return owner.OwnerStreams() == 1 }, 10*time.Second, time.Millisecond)
	network.publish(t, 1, 3)
	f.wants(t, 1, 3)
	assert.Equal(t, 202, owner.ask(t, "POST", "/api/mark", `{"text":"a"}`, asJSON).code)
}

// Which event is the answer to an input: of its kind, and no other that fell due with it.
func TestTheNumberIsThatOfTheEventThatAnswers(t *testing.T) {
	refused := event.Event{Kind: event.DrillRefused, Data: event.ReasonData{Why: "no"}}
	kinds := func(kinds ...string) (list []event.Event) {
		for _, k := range kinds {
			list = append(list, event.Event{Kind: k})
		}
		return list
	}
	for _, c := range []struct {
		path, body string
		caused     []event.Event // numbered from 10
		want       string
	}{
		{"mark", `{"text":"a"}`, kinds(event.Mark), `{"accepted":true,"seq":10,"recorded":true}`},
		{"mark", `{"text":"a"}`, kinds(event.BusSilent, event.Mark, event.Mark), `{"accepted":true,"seq":11,"recorded":true}`},
		{"reopen", `{"what":"inner"}`, kinds(event.VerdictChanged, event.Reopened, event.VerdictChanged), `{"accepted":true,"seq":11,"recorded":true}`},
		{"drill", `{"drill":"m","do":"begin"}`, kinds(event.DrillEnded, event.DrillBegan), `{"accepted":true,"seq":11,"recorded":true}`},
		{"drill", `{"drill":"m","do":"confirm"}`, kinds(event.DrillPrompted), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"done"}`, kinds(event.DrillAnswered, event.VerdictChanged, event.DrillPrompted), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"done"}`, kinds(event.DrillHint), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"done"}`, nil, `{"accepted":true,"recorded":true}`},
		{"drill", `{"drill":"m","do":"repeat"}`, kinds(event.DrillPrompted), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"back"}`, kinds(event.DrillPrompted), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"abandon"}`, kinds(event.DrillEnded), `{"accepted":true,"seq":10,"recorded":true}`},
		{"drill", `{"drill":"m","do":"abandon"}`, append(kinds(event.DrillEnded), refused), `{"error":"no","seq":11}`},
		{"drill", `{"drill":"m","do":"fly"}`, []event.Event{refused}, `{"error":"no","seq":10}`},
	} {
		network, owner := startOwner(t, nil)
		network.cause = func(input int64, _ event.InputKind, _ []byte) {
			for i, e := range c.caused {
				e.Seq = int64(10 + i)
				network.Caused(input, &e)
				network.Caused(input+1, &e) // another's
			}
			network.AllCaused(input, true)
		}
		got := owner.ask(t, "POST", "/api/"+c.path, c.body, asJSON)
		assert.JSONEq(t, c.want, got.body, "%s %v", c.body, c.caused)
	}
}

// Many at once each get the number of their own event.
func TestManyClientsAtOnce(t *testing.T) {
	network, owner := startOwner(t, nil)
	texts := sync.Map{} // of events, by number
	network.cause = func(input int64, kind event.InputKind, data []byte) {
		texts.Store(100+input, string(data))
		network.causesEvent(input, kind, data)
	}
	var asking sync.WaitGroup
	for i := range 40 {
		asking.Go(func() {
			for j := range 5 {
				text := fmt.Sprintf("%d of %d", j, i)
				got := owner.ask(t, "POST", "/api/mark", `{"text":"`+text+`"}`, asJSON)
				var seq int64
				_, err := fmt.Sscanf(got.body, `{"accepted":true,"seq":%d,"recorded":true}`, &seq)
				assert.NoError(t, err, got.body)
				of, _ := texts.Load(seq)
				assert.Equal(t, text, of)
			}
		})
	}
	go func() {
		for range 200 {
			<-network.put
		}
	}()
	asking.Wait()
}

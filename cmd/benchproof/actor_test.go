package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api"
	"benchproof.example/monitor/api/client"
	sessionsocket "benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/timeline"
)

// actor is a daemon without a session: it answers each input of a person with the events
// that a script has for it. A step is written as "do prompt".
type actor struct {
	server *api.Server
	script map[string][]event.Event
	took   chan string
	inputs chan func() // what comes of them, in order
	lock   sync.Mutex
	number int64 // of inputs
	seq    int64 // of events
	drill  string
}

// startActor has an actor answer in a folder of its own.
func startActor(t *testing.T, script map[string][]event.Event) (folder string, steps func() []string) {
	folder = sockettest.Folder(t)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "sheet.yaml"), sheettest.TwoSwitches(), 0o600))
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	a := &actor{script: script, took: make(chan string, 100), inputs: make(chan func(), 100)}
	a.server, err = api.New(api.Options{Put: a.put, Check: checkInput(s), State: func() state.State {
		a.lock.Lock()
		defer a.lock.Unlock()
		return state.State{Drill: a.drill}
	}})
	require.NoError(t, err)
	at, err := sessionsocket.Listen(folder)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	var running sync.WaitGroup
	running.Go(func() { assert.NoError(t, a.server.ServeOwner(ctx, at)) })
	running.Go(func() {
		for {
			select {
			case <-ctx.Done():
				return
			case happen := <-a.inputs:
				happen()
			}
		}
	})
	t.Cleanup(func() { stop(); running.Wait() })
	return folder, func() (list []string) {
		for len(a.took) > 0 {
			list = append(list, <-a.took)
		}
		return list
	}
}

// put takes an input.
func (a *actor) put(kind event.InputKind, data []byte) (input int64, taken bool) {
	var step event.DrillStep
	said := kind.String() + " " + string(data)
	if kind == event.InputDrillStep && json.Unmarshal(data, &step) == nil {
		said = strings.TrimSpace(step.Do + " " + step.Prompt)
	}
	a.took <- said
	a.number++
	input = a.number
	a.inputs <- func() { a.happens(input, a.script[said]) }
	return input, true
}

// happens shows what an input causes. What is about another drill has another cause.
func (a *actor) happens(input int64, events []event.Event) {
	for _, e := range events {
		a.lock.Lock()
		a.seq++
		e.Seq = a.seq
		switch e.Kind {
		case event.DrillBegan:
			a.drill, _ = event.AboutDrill.Name(e.About)
		case event.DrillEnded:
			a.drill = ""
		}
		a.lock.Unlock()
		line, err := timeline.Line(nil, &e, 0)
		if err != nil {
			panic(err) // an event of a test's own
		}
		a.server.Publish(e.Seq, line)
		if e.About != "drill:order" {
			a.server.Caused(input, &e)
		}
	}
	a.server.AllCaused(input, true)
}

// waitFor waits until a daemon answers in a folder.
func waitFor(t *testing.T, folder string) {
	require.Eventually(t, func() bool {
		c, err := client.Dial(folder)
		if err == nil {
			c.Close()
		}
		return err == nil
	}, 20*time.Second, time.Millisecond)
}

//go:build linux

package main

import (
	"sync"
	"time"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
)

// period is that of a common receiver.
const period = 9 * time.Millisecond

// wire is the servo bus that the adapters hang on: one frame after the other, each
// in a packet of its own.
type wire struct {
	mu      sync.Mutex
	adapter *adapter
	spoilt  bool // the next frame has a character with bad parity
}

func (w *wire) join(a *adapter) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.adapter = a
}

func (w *wire) spoil() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.spoilt = true
}

func (w *wire) run() {
	frame := bus.Frame{}
	for i := range 16 {
		frame.Counts[i] = 992
	}
	protocol, _ := protocols.Find("")
	raw := make([]byte, protocol.FrameLen)
	protocol.Encode(&frame, raw)
	for range time.Tick(period) {
		w.send(raw)
	}
}

func (w *wire) send(raw []byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	errors := byte(0)
	if w.spoilt {
		w.spoilt, errors = false, badParity
	}
	_ = w.adapter.receive(errors, raw) // an adapter that is pulled out hears nothing
}

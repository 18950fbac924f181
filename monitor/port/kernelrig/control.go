//go:build linux

package main

import "encoding/binary"

// Where a control request goes to: the direction bit is left out. USB 2.0, 9.3.
const (
	toDevice    = 0x00
	toInterface = 0x01
	toEndpoint  = 0x02
	toAdapter   = 0x40 // the maker's own requests
	hostward    = 0x80
)

// Standard requests, USB 2.0, table 9-4.
const (
	getStatus     = 0
	clearFeature  = 1
	getDescriptor = 6
	setConfig     = 9
	setInterface  = 11
)

// control answers a control request; false: the device does not know it.
func (a *adapter) control(setup [8]byte) (in []byte, ok bool) {
	value := binary.LittleEndian.Uint16(setup[2:])
	length := int(binary.LittleEndian.Uint16(setup[6:]))
	switch target := setup[0] &^ hostward; target {
	case toAdapter:
		in, ok = a.own(setup[1], value)
	case toDevice, toInterface, toEndpoint:
		in, ok = a.standard(setup[1], value)
	}
	return in[:min(len(in), length)], ok
}

func (a *adapter) standard(kind byte, value uint16) ([]byte, bool) {
	switch kind {
	case getDescriptor:
		return descriptor(byte(value>>8), byte(value), a.serial)
	case getStatus:
		return []byte{0, 0}, true
	case clearFeature, setConfig, setInterface:
		return nil, true
	}
	return nil, false
}

// own answers a request to the adapter itself.
func (a *adapter) own(kind byte, value uint16) ([]byte, bool) {
	switch kind {
	case modemStateRequest:
		return []byte{modemIdle, lineIdle}, true
	case getWaitRequest:
		return []byte{byte(a.line.LatencyMS)}, true
	case resetRequest:
		a.waiting = nil
	}
	return nil, a.line.set(kind, value)
}

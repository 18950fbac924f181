//go:build linux

package main

import (
	"encoding/binary"
	"unicode/utf16"
)

// What the device says it is: a USB serial adapter whose driver is in the kernel,
// of the kind that puts two status bytes at the head of every packet. The numbers
// are in the kernel's list of modules, where the driver claims them.
const (
	vendorID  = 0x0403
	productID = 0x6001
	release   = 0x0400 // the oldest whose waiting time can be set
)

// The endpoints and the size of a packet.
const (
	fromWire   = 1
	toWire     = 2
	packetSize = 64
)

// Kinds of descriptor, as in the USB 2.0 specification, table 9-5.
const (
	deviceDescriptor = 1
	configDescriptor = 2
	stringDescriptor = 3
)

// The strings of the device, by number.
const (
	makerString = iota + 1
	productString
	serialString
)

// descriptor is what the device answers when it is asked who it is.
func descriptor(kind, number byte, serial string) ([]byte, bool) {
	switch kind {
	case deviceDescriptor:
		d := []byte{18, deviceDescriptor, 0x00, 0x02, 0, 0, 0, 8}
		d = binary.LittleEndian.AppendUint16(d, vendorID)
		d = binary.LittleEndian.AppendUint16(d, productID)
		d = binary.LittleEndian.AppendUint16(d, release)
		return append(d, makerString, productString, serialString, 1), true
	case configDescriptor:
		return []byte{
			9, configDescriptor, 32, 0, 1, 1, 0, 0x80, 50,
			9, 4, 0, 0, 2, 0xff, 0xff, 0xff, productString,
			7, 5, 0x80 | fromWire, 2, packetSize, 0, 0,
			7, 5, toWire, 2, packetSize, 0, 0,
		}, true
	case stringDescriptor:
		return stringOf(number, serial)
	}
	return nil, false
}

func stringOf(number byte, serial string) ([]byte, bool) {
	text, ok := map[byte]string{0: "\u0409", makerString: "rig", productString: "adapter", serialString: serial}[number]
	if !ok {
		return nil, false
	}
	units := utf16.Encode([]rune(text))
	d := []byte{byte(2 + 2*len(units)), stringDescriptor}
	for _, u := range units {
		d = binary.LittleEndian.AppendUint16(d, u)
	}
	return d, true
}

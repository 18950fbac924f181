package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/bus/bustest"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sheet"
)

// withTwelve reads sheets that may name the protocol which tests have for themselves.
var withTwelve = sheet.Parser{Protocols: append(protocols.All(), bustest.Twelve())}

const tapsAnd = "\nchannels: {1: {name: flaps, kind: switch, positions: {up: 988, down: 2012}}}\n"

func onTwelve(more string) string {
	return "sheet: 1\nmodel: Bare\ntaps: {main: {kind: bus, protocol: twelve}}\n" + more + tapsAnd
}

// What a sheet leaves out follows from the protocol of its taps.
func TestProtocolOfATap(t *testing.T) {
	for text, want := range map[string]*bus.Protocol{
		"taps: {main: {kind: bus}}":                                                  servobus.Protocol(),
		"taps: {main: {kind: bus, protocol: servo-bus}}":                             servobus.Protocol(),
		"taps: {main: {kind: bus, protocol: twelve}}":                                bustest.Twelve(),
		"taps: {leads: {kind: pulses}}":                                              servobus.Protocol(),
		"taps: {leads: {kind: pulses}, a: {kind: bus, protocol: twelve}}":            bustest.Twelve(),
		"taps: {a: {kind: bus, protocol: servo-bus}, b: {kind: bus}}":                servobus.Protocol(),
		"taps: {a: {protocol: twelve, kind: bus}, leads: {kind: pulses}}":            bustest.Twelve(),
		"taps: {a: {kind: bus, protocol: twelve}, b: {kind: bus, protocol: twelve}}": bustest.Twelve(),
	} {
		s, _, err := withTwelve.ReadNew("s.yaml", []byte("sheet: 1\nmodel: Bare\n"+text+tapsAnd))
		require.NoError(t, err, text)
		assert.Equal(t, want, s.Protocol, text)
		assert.Equal(t, want.Scale, s.Scale, text)
	}
	s, err := withTwelve.Read("s.yaml", []byte(onTwelve("")))
	require.NoError(t, err)
	assert.Equal(t, "twelve", s.Taps[0].Protocol)
	assert.True(t, s.Digital(13))
	assert.False(t, s.Digital(12))
}

func TestProtocolsThatCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"sheet: 1\nmodel: Bare\ntaps: {main: {kind: bus, protocol: thirteen}}" + tapsAnd: "s.yaml:3:36: found " +
			"\"thirteen\" for protocol; one of servo-bus, twelve would be right",
		"sheet: 1\nmodel: Bare\ntaps: {main: {kind: pulses, protocol: twelve}}" + tapsAnd:           "which a tap on pulses does not have",
		"sheet: 1\nmodel: Bare\ntaps: {a: {kind: bus}, b: {kind: bus, protocol: twelve}}" + tapsAnd: "found the protocol twelve, and tap a has servo-bus",
		"sheet: 1\nmodel: Bare\ntaps: {a: {kind: bus, protocol: twelve}, b: {kind: bus}}" + tapsAnd: "found the protocol servo-bus, and tap a has twelve",
		onTwelve("heartbeat: {channel: 13}"):                                                        "12",
		onTwelve("heartbeat: {}"):                                                                   "channel: 8",
		onTwelve("link: {missed_at_most: 0.1 %}"): "a share of missed frames, " +
			"which a bus of twelve channels does not flag",
		onTwelve("failsafe: {flag: required, within: 1s}"): "a failsafe flag that is " +
			"required, and a bus of twelve channels has none",
		onTwelve("failsafe: {flag: optional, within: 1s}"): "a failsafe flag that is " +
			"optional, and a bus of twelve channels has none",
		onTwelve("scale: {counts: [1000000, 17000000], " +
			"us: [1000, 17000]}"): "the bus carries counts up to 16777215",
		"sheet: 1\nmodel: Bare\ntaps: {main: {kind: bus, protocol: twelve}}\nchannels: {13: {name: flaps, kind: switch, positions: {up: 988, down: 2012}}}\n": "12",
	} {
		_, err := withTwelve.Read("s.yaml", []byte(text))
		require.ErrorContains(t, err, want, text)
	}
	s, err := withTwelve.Read("s.yaml", []byte(onTwelve("failsafe: {flag: absent, within: 1s}")))
	require.NoError(t, err)
	assert.Equal(t, "absent", s.Failsafe.Flag)
	_, err = sheet.Read("s.yaml", []byte(onTwelve("")))
	require.ErrorContains(t, err, "servo-bus", "what tests have for themselves the program does not know")
}

package world

import "benchproof.example/decode/protocols"

// onBus is the protocol of the simulated bench: the first one.
var onBus, _ = protocols.Find("")

// channels are its proportional channels. Two digital ones come behind.
const channels = 16

// MaxCount is the most that a channel carries, in counts.
const MaxCount = 2047

// What a frame, a character and the part of it behind its first stop bit take, ns.
var (
	frameTime = onBus.FrameTime()
	charTime  = onBus.CharTime()
	lastStop  = onBus.LastStop()
)

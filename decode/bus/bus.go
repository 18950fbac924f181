// Package bus holds what all serial servo buses have in common: a Frame that belongs
// to no protocol, the Framer that finds frames in a stream of bytes, and the row of a
// protocol, which says everything about it that anybody else needs to know.
//
//	bytes --Framer--> Found (raw) --Protocol.Decode--> Frame
//	bytes <----------------------- Protocol.Encode <-- Frame
//
// A protocol is one package with its layout and its framer, and one row in
// decode/protocols. Nobody above decode imports a protocol's package: what they do
// with a tap follows from its row. Package bustest has the tests that each row must
// pass.
package bus

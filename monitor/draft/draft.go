// Package draft makes a first set-up sheet by doing: it asks one thing after the other, finds on the wire
// which channel moved and how, and asks for what the wire can't tell. Or, without questions, it makes what can
// be made of a recorded session.
//
// A Conversation is plain data that is stepped: it is told frames, pulses and what the builder types, and has the
// question that stands (Asks), which is data too: what to move and how far, the words to choose from, what the
// sentence says. Terminal and page show the same. Nothing here knows a clock, a port or a file; widths are whole
// nanoseconds.
//
// What starts limit learning in the receiver is named by the builder and never asked for: it would overwrite what
// the receiver has learned. Where its channel moves all the same, that is said.
//
// Each line of the sheet says where it comes from: measured, said or assumed.
package draft

// Package linefault says why nothing can be read on the line of a servo bus: from what a
// serial port reports, the most likely cause, how sure that is, the evidence and the remedy.
//
//	reads --Heard--> counts --features--> 18 small numbers --Judge--> Finding
//	                                        ^ tables.txt
//
// Each cause predicts what a port reports: how many characters, how many of them bad, which
// ones, how they follow each other. The predictions were made by real frames, and other
// lines, sent bit by bit to the model of a serial receiver (package linesim), and stand in
// tables.txt as costs in quarters of a bit. A cause that explains what was heard costs
// little; where none costs clearly less than guessing, the answer is None.
//
// Adapters mark characters with errors one by one, or all of a packet, or not at all, and
// then they may come as 0x00. Each cause has a prediction for each of these ways.
//
// It is pure: no clock, and no allocation per character.
package linefault

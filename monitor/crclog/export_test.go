package crclog

// MoveTail is open to the tests, which make it fail at each of its steps.
var MoveTail = moveTail

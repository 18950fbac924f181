package session

// What works while a session is heard (judge loop, recorder, journal writer) is a
// function that does one step and says what the next one waits for. It may be called
// at any time: where nothing came yet it does nothing and says the same again. So steps
// need neither goroutine nor timer; those are in run.go.

// wait is what must come before the next step has anything to do.
type wait struct {
	what  waitsFor
	input int64 // of forRecord: the number of the input that is to be recorded
	until int64 // of forDisk: clock ns
}

type waitsFor int

const (
	forNothing waitsFor = iota // there is more to do
	forInputs                  // inputs, or the end of them
	forEvents                  // an event, or the end of them
	forRecord                  // an input is recorded, or it is the end
	forDisk                    // it is time to ask a disk again that refused, or it is the end
	over                       // nothing: all is done
)

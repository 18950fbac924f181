package record

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// maxShifts is how many jumps of an output a record keeps, the latest.
const maxShifts = 12

// withShift takes a jump in, in place of an earlier one between the same two.
func withShift(list []event.OutputShiftedData, d *event.OutputShiftedData) []event.OutputShiftedData {
	list = slices.DeleteFunc(list, func(s event.OutputShiftedData) bool {
		return s.Mode == d.Mode && s.WasMode == d.WasMode && slices.Equal(s.Switches, d.Switches)
	})
	if len(list) == maxShifts {
		list = slices.Delete(list, 0, 1)
	}
	return append(list, *d)
}

// shiftShown is the least jump that is printed, ns: less is no more than an output strays at rest.
const shiftShown = 5_000

// Jumps are the jumps of an output that are worth a word, in words.
func (o *Output) Jumps() (list []string) {
	for i := range o.Shifts {
		if s := &o.Shifts[i]; unit.Abs(s.Shift()) >= shiftShown {
			list = append(list, s.ShiftText())
		}
	}
	return list
}

package draft

import (
	"fmt"
	"strconv"
)

// surface is a name for what an output moves, by what moves it and how the model steers. Whether it is the left or
// the right one the wire can't tell.
func (w *writer) surface(o *Output) string {
	m := w.model
	moved := map[string]bool{}
	for _, t := range o.Terms {
		moved[m.taken(t.Channel)] = true
	}
	name := "surface"
	switch {
	case moved[keyThrottle]:
		name = "motor"
	case moved[keyAileron] && moved[keyElevator] && m.said("wing") == "elevons":
		name = "elevon"
	case moved[keyElevator] && moved[keyRudder] && m.said("wing") == "vtail":
		name = "tail"
	case len(o.Terms) == 1:
		name = m.nameOf(m.taken(o.Terms[0].Channel))
	}
	return fmt.Sprintf("%s %d", name, o.Number)
}

// hundredths is a share in parts per million as the sheet has it, to two decimals.
func hundredths(ppm int64) string {
	sign := ""
	if ppm < 0 {
		sign, ppm = "-", -ppm
	}
	n := (ppm + 5_000) / 10_000
	return fmt.Sprintf("%s%s.%02d", sign, strconv.FormatInt(n/100, 10), n%100)
}

func mixID(x *Along) string { return fmt.Sprintf("mix:%s:%d", x.Key, x.Channel) }

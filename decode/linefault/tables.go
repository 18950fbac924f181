package linefault

import (
	_ "embed"
	"strings"
	"sync"
)

// tablesText has a line for each hypothesis and way of marking: protocol, cause, detail,
// marks, and a word for each feature, in which a letter for each class says what it costs: "0" nothing, "1" a
// quarter of a bit, and so on through ASCII.
//
//go:embed tables.txt
var tablesText string

// hypothesis is one line of the tables.
type hypothesis struct {
	protocol string
	cause    Cause
	detail   string // what is special about it: the rate, the parity; "-" for nothing
	costs    [features]string
}

const columns = 4 // before the costs

var tables = sync.OnceValue(func() []hypothesis { return parseTables(tablesText) })

// parseTables reads lines as they were generated; what is no line of a table is left out.
func parseTables(text string) (list []hypothesis) {
	for line := range strings.Lines(text) {
		words := strings.Fields(line)
		if len(words) != columns+features {
			continue
		}
		cause, ok := CauseOf(words[1])
		if !ok {
			continue
		}
		h := hypothesis{protocol: words[0], cause: cause, detail: strings.ReplaceAll(words[2], "_", " ")}
		copy(h.costs[:], words[columns:])
		list = append(list, h)
	}
	return list
}

// cost is how badly the hypothesis explains features, in quarters of a bit.
func (h *hypothesis) cost(f *[features]uint8) (sum int) {
	for i, class := range f {
		sum += int(h.costs[i][class]) - '0'
	}
	return sum
}

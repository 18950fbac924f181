package text

import (
	"fmt"
	"strings"
)

// Numbers is a list of ascending numbers in words: "5, 8 to 18".
func Numbers(list []int) string {
	var parts []string
	for i := 0; i < len(list); {
		last := i
		for last+1 < len(list) && list[last+1] == list[last]+1 {
			last++
		}
		if last < i+2 { // two in a row are no run
			last = i
		}
		if last > i {
			parts = append(parts, fmt.Sprintf("%d to %d", list[i], list[last]))
		} else {
			parts = append(parts, fmt.Sprint(list[i]))
		}
		i = last + 1
	}
	return strings.Join(parts, ", ")
}

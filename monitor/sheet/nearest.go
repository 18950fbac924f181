package sheet

// suggest names the known word nearest to a wrong one, or lists them all when
// none is near.
func suggest(wrong string, known []string) string {
	if word, ok := nearest(wrong, known); ok {
		return word
	}
	return oneOf(known)
}

// nearest is the known word that takes the fewest slips of the hand to become
// the wrong one; the first of several. False when even that would be another
// word altogether: more than a third of its letters.
func nearest(wrong string, known []string) (string, bool) {
	best, fewest := "", -1
	for _, word := range known {
		if n := slips(wrong, word); n <= (len([]rune(word))+2)/3 && (fewest < 0 || n < fewest) {
			best, fewest = word, n
		}
	}
	return best, fewest >= 0
}

// slips counts the letters to add, drop, change or swap with their neighbour
// (optimal string alignment). Long words end the count: no key is that long.
func slips(from, to string) int {
	a, b := []rune(from), []rune(to)
	const long = 64
	if len(a) > long || len(b) > long {
		return long
	}
	var before []int
	last := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

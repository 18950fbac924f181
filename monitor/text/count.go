package text

import "strconv"

// Count is how many there are, as people read it: in groups of three digits from 10 000 on. Its spaces do
// not break a line where lines are broken by a browser.
func Count[N int | int64](n N) string {
	digits := strconv.FormatInt(int64(n), 10)
	const least, group = 5, 3
	if len(digits) < least {
		return digits
	}
	for i := len(digits) - group; i > 0; i -= group {
		digits = digits[:i] + "\u00a0" + digits[i:]
	}
	return digits
}

package text

import "fmt"

// Times says how often something was: never, once, twice, 3 times.
func Times[N int | int64](n N) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

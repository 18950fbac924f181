package unit

// Abs is the magnitude of a.
func Abs[N ~int64](a N) N {
	if a < 0 {
		return -a
	}
	return a
}

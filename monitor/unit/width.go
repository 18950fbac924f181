package unit

// Width is the width of a servo pulse in nanoseconds, or the difference of two: how far
// a channel or an output moved, which may be negative.
type Width int64

// Duration is how long a pulse of that width lasts.
func (w Width) Duration() Duration { return Duration(w) }

// Share is so many parts per million of a width.
func (w Width) Share(ppm int64) Width { return w * Width(ppm) / 1_000_000 }

package drill

import (
	"fmt"
	"strconv"
	"strings"
)

// How well an angle is known where nobody says: what an inclinometer of a few cells, or one on
// the screen of a telephone, is good for (an assumption of ours).
const readWithin = 500 // millidegrees

// MostAngle is the largest angle that is taken, millidegrees: beyond it a model is turned over,
// not tilted.
const MostAngle = 60_000

// Angle reads an angle in degrees as somebody types it, "12.5", "12,5°" or "12.5 +-0.2", millidegrees, with what it
// is good for. Which way the model is tilted is what the prompt says, so that there is no sign.
func Angle(words string) (angle, within int64, err error) {
	text := strings.NewReplacer("°", "", "degrees", "", "deg", "", "+/-", "±", "+-", "±", ",", ".", " ", "").Replace(words)
	read, doubt, doubted := strings.Cut(text, "±")
	angle, ok := millidegrees(read)
	within = readWithin
	if doubted && ok {
		within, ok = millidegrees(doubt)
	}
	switch {
	case strings.HasPrefix(read, "-"):
		return 0, 0, fmt.Errorf("got %q, want the angle without a sign: the prompt says which way", words)
	case !ok:
		return 0, 0, fmt.Errorf("got %q, want an angle in degrees such as 12.5, or 12.5 +-0.2", words)
	case angle > MostAngle:
		return 0, 0, fmt.Errorf("got %q, want an angle of %d degrees at most", words, MostAngle/1000)
	}
	return angle, within, nil
}

// millidegrees reads degrees with up to three decimals.
func millidegrees(text string) (int64, bool) {
	whole, part, _ := strings.Cut(text, ".")
	if whole == "" || len(whole) > 3 || len(part) > 3 {
		return 0, false
	}
	n, err := strconv.ParseUint(whole+part+strings.Repeat("0", 3-len(part)), 10, 32)
	return int64(n), err == nil
}

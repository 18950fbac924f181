package drill_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
)

func TestAngles(t *testing.T) {
	for _, x := range []struct {
		words         string
		angle, within int64
		err           string
	}{
		{"12.5", 12_500, 500, ""}, {"12,5°", 12_500, 500, ""}, {"0", 0, 500, ""}, {"60", 60_000, 500, ""}, {"7.125 deg", 7_125, 500, ""},
		{"12 +-0.2", 12_000, 200, ""}, {"12.5 ± 1", 12_500, 1000, ""}, {"8 degrees +/- 0.3", 8_000, 300, ""},
		{"60.001", 0, 0, `got "60.001", want an angle of 60 degrees at most`},
		{"-8", 0, 0, `got "-8", want the angle without a sign: the prompt says which way`},
		{"", 0, 0, `got "", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{"about ten", 0, 0, `got "about ten", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{"12 +-", 0, 0, `got "12 +-", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{"1.2345", 0, 0, `got "1.2345", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{"+8", 0, 0, `got "+8", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{"1234", 0, 0, `got "1234", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
		{".5", 0, 0, `got ".5", want an angle in degrees such as 12.5, or 12.5 +-0.2`},
	} {
		angle, within, err := drill.Angle(x.words)
		assert.Equal(t, [2]int64{x.angle, x.within}, [2]int64{angle, within}, x.words)
		if x.err == "" {
			assert.NoError(t, err, x.words)
		} else {
			assert.EqualError(t, err, x.err)
		}
	}
}

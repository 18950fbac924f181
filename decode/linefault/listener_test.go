package linefault_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/linefault"
)

// What most stretches show is found; the rest of one counts from half a stretch on.
func TestListener(t *testing.T) {
	pulses := func(l *linefault.Listener, from, to int64) {
		for at := from; at < to; at += 20 * ms {
			l.Feed([]byte{0}, at, true)
		}
	}
	for _, c := range []struct {
		name string
		play func(l *linefault.Listener)
		end  int64
		want linefault.Cause
	}{
		{"nothing", func(*linefault.Listener) {}, 4 * span, linefault.Nothing},
		{"no time at all", func(*linefault.Listener) {}, 0, linefault.Nothing},
		{"pulses", func(l *linefault.Listener) { pulses(l, 0, 3*span) }, 3 * span, linefault.Pulses},
		{"pulses, then nothing for as long", func(l *linefault.Listener) { pulses(l, 0, 2*span) }, 4 * span, linefault.Pulses},
		{"nothing, then pulses for as long", func(l *linefault.Listener) { pulses(l, span, 2*span) }, 2 * span, linefault.Pulses},
		{"then nothing for longer", func(l *linefault.Listener) { pulses(l, 0, 2*span) }, 5 * span, linefault.Nothing},
		{"something else each time, then nothing for as long", func(l *linefault.Listener) {
			pulses(l, 0, span+span/2)
			l.Lost(9)
			pulses(l, span+span/2, 2*span)
		}, 4 * span, linefault.Pulses},
		{"half a stretch more counts", func(l *linefault.Listener) { pulses(l, 0, span) }, 2*span + span/2, linefault.Nothing},
		{"less does not", func(l *linefault.Listener) { pulses(l, 0, span) }, 2*span + span/2 - 1, linefault.Pulses},
		{"characters were lost", func(l *linefault.Listener) { pulses(l, 0, span/2); l.Lost(9) }, span, linefault.Driver},
	} {
		l := linefault.NewListener(protocol(), 0)
		c.play(l)
		found, evidence := l.End(c.end)
		assert.Equal(t, c.want, found.Cause, c.name)
		assert.NotEmpty(t, evidence, c.name)
	}
	assert.Equal(t, span, int64(linefault.Stretch))
}

// What is said of several stretches rests on all of them: they are as sure as on average, and
// the evidence is of their whole time.
func TestListenerUsesAllItsTime(t *testing.T) {
	l := linefault.NewListener(protocol(), 0)
	for at := int64(0); at < 4*span; at += 20 * ms {
		l.Feed([]byte{0}, at, true)
	}
	found, evidence := l.End(4 * span)
	assert.Equal(t, linefault.Pulses, found.Cause)
	assert.LessOrEqual(t, found.Sure, 97)
	assert.Equal(t, []string{"300 characters in 6.0 s", "100 % of them marked as bad", "in bursts of about 1.0, one every 20.0 ms"}, evidence[:3])
}

package linefault_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/decode/linesim"
	"benchproof.example/decode/uart"
)

// tried are other settings, as explain tries them.
func tried() []uart.Format {
	return []uart.Format{format(100_000, uart.Odd, 2), format(200_000, uart.Even, 2), format(115_200, uart.Even, 2), format(57_600, uart.Even, 2)}
}

// listened is what a port hears of a line in three stretches.
func listened(t *testing.T, s *situation, port uart.Format, marks linesim.Marks, seed uint64) *linefault.Listener {
	t.Helper()
	l := linefault.NewListener(protocol(), 0)
	for n := range int64(3) {
		line, err := s.line(protocol(), rand.New(rand.NewPCG(seed, uint64(n))), span)
		require.NoError(t, err)
		chars, err := linesim.Receive(line, port)
		require.NoError(t, err)
		for _, r := range s.reads(chars, marks, seed, uint64(n)) {
			if r.At < span {
				l.Feed(r.Data, n*span+r.At, r.Bad)
			}
		}
	}
	l.Until(3 * span)
	return l
}

// judged is what is found before and after the tries, false where one of them reads the bus.
// does is how the port does a setting.
func judged(t *testing.T, s *situation, marks linesim.Marks, seed uint64, does func(uart.Format) uart.Format) (before, after linefault.Finding, none bool) {
	t.Helper()
	usual := listened(t, s, does(plain(protocol())), marks, seed)
	before, _ = usual.End(3 * span)
	var tries []linefault.Try
	for i, f := range tried() {
		heard := listened(t, s, does(f), marks, seed+uint64(i)+1)
		if found, _ := heard.End(3 * span); found.Healthy() {
			return before, before, false
		}
		tries = append(tries, linefault.Try{Format: f, Heard: heard})
	}
	return before, usual.After(tries), true
}

// onlyUsual is a port that does what it is set to, but for the usual setting.
func onlyUsual(does uart.Format) func(uart.Format) uart.Format {
	return func(f uart.Format) uart.Format {
		if f == plain(protocol()) && does.Baud != 0 {
			return does
		}
		return f
	}
}

// always is a port that can't be set.
func always(does uart.Format) func(uart.Format) uart.Format {
	return func(uart.Format) uart.Format { return does }
}

// Tries that read no bus rule out no cause that is so, whether the port can't do the usual
// setting alone, or none. Of an inverted signal they make neither rate nor parity the next likely.
func TestTriesThatReadNoBus(t *testing.T) {
	tries := 0
	for i, s := range situations() {
		if i%2 == 1 && s.cause != linefault.Inverted && s.cause != linefault.Parity {
			continue // for time's sake
		}
		ports := []func(uart.Format) uart.Format{onlyUsual(s.port)}
		if s.port.Baud != 0 {
			ports = append(ports, always(s.port))
		}
		for marks := range linesim.AllMarks {
			for _, does := range ports {
				before, after, none := judged(t, &s, marks, 8_200_000+uint64(1000*i), does)
				if none && before.Cause == s.cause {
					tries++
					keepsTheCause(t, before, after)
				}
			}
		}
	}
	assert.Greater(t, tries, 60)
}

// keepsTheCause holds tries to the cause that is so, which was found before them.
func keepsTheCause(t *testing.T, before, after linefault.Finding) {
	t.Helper()
	assert.Equal(t, before.Cause, after.Cause, "%v, then %v", before, after)
	if before.Cause == linefault.Inverted {
		assert.Greater(t, after.Sure, before.Sure)
		assert.False(t, (after.Or == linefault.Rate || after.Or == linefault.Parity) && after.OrSure >= 15, "not named: %v", after)
	}
}

// A bus that is sent at a rate is no longer that, once a port that was set to it read nothing.
func TestTryRulesOutItsRate(t *testing.T) {
	s := situations()[5]
	usual := listened(t, &s, plain(protocol()), linesim.Unseen, 8_300_000)
	found, _ := usual.End(3 * span)
	assert.Equal(t, "line 200000", found.Detail)
	silent := linefault.NewListener(protocol(), 0)
	silent.End(3 * span)
	try := func(f uart.Format) string {
		return usual.After([]linefault.Try{{Format: f, Heard: silent}}).Detail
	}
	assert.Equal(t, "line 200000", try(format(200_000, uart.Odd, 2)), "with another parity it says nothing")
	assert.NotEqual(t, "line 200000", try(format(200_000, uart.Even, 2)))
}

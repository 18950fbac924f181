package tilt

import (
	"strconv"

	"benchproof.example/decode/sentence"
)

// A phone, or a board with an inertial sensor, sends sentences (package sentence):
//
//	$PBTA,5C1,1F3,A0B1C2D3,32761,512,-98,12,150,-320,8*hh   an attitude: sender, number, time in µs,
//	                                                       quaternion, rates of turn
//	$PBTA,5C1,1F3,A0B1C2D3,32761,512,-98,12,,,*hh           the same without a gyroscope
//	$PBTI,5C1,phone,0,R*hh                                 the phone: name, turn of its screen, running or hidden
//
// Sender, number and time are hexadecimal and go round at 2^16, 2^16 and 2^32.
const (
	attitudeKind = "PBTA"
	statusKind   = "PBTI"

	// longest is the longest sentence of NMEA 0183, characters with its line end (from memory).
	longest = 82
	// fastest is the highest rate of turn that can be said, hundredths of a degree a second: no
	// phone's gyroscope reads more than 2000 degrees a second (common practice).
	fastest = 400_000
)

// AppendAttitude appends the sentence of an attitude; number counts the sentences of the sender.
func AppendAttitude(dst []byte, number uint16, a *Attitude) []byte {
	begin := len(dst)
	dst = append(dst, "$"+attitudeKind+","...)
	for _, v := range []uint64{uint64(a.Sender), uint64(number), uint64(uint32(a.Time / 1000))} {
		dst = append(strconv.AppendUint(dst, v, 16), ',')
	}
	for _, v := range a.Turn {
		dst = append(strconv.AppendInt(dst, int64(v), 10), ',')
	}
	for i, v := range a.Rate {
		if i > 0 {
			dst = append(dst, ',')
		}
		if a.Gyro {
			dst = strconv.AppendInt(dst, int64(v), 10)
		}
	}
	return sentence.AppendEnd(dst, begin)
}

// AppendStatus appends the sentence in which a phone speaks of itself.
func AppendStatus(dst []byte, s *Status) []byte {
	begin := len(dst)
	dst = append(dst, "$"+statusKind+","...)
	dst = append(strconv.AppendUint(dst, uint64(s.Sender), 16), ',')
	dst = append(append(dst, s.Name...), ',')
	dst = strconv.AppendInt(dst, int64(s.Screen), 10)
	if s.Hidden {
		return sentence.AppendEnd(append(dst, ",H"...), begin)
	}
	return sentence.AppendEnd(append(dst, ",R"...), begin)
}

// rates reads three rates of turn: none where all are empty.
func rates(f *sentence.Fields) (rate [3]int32, has, ok bool) {
	empty := 0
	ok = true
	for i := range rate {
		field := sentence.Fields{Rest: f.Next()}
		if len(field.Rest) == 0 {
			empty++
			continue
		}
		rate[i] = int32(field.Signed(fastest))
		ok = ok && field.Done()
	}
	return rate, empty == 0, ok && empty%3 == 0
}

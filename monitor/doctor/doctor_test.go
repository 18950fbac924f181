package doctor_test

import (
	"errors"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/doctor"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/unit"
)

func TestPorts(t *testing.T) {
	yes, no := true, false
	usb := port.Info{Port: "/dev/serial/by-id/a", Device: "/dev/ttyUSB0", USB: "0a1b:2c3d", MayOpen: &yes, Latency: "1 ms"}
	with := func(change func(*port.Info)) []port.Info {
		l := usb
		change(&l)
		return []port.Info{l}
	}
	there := filepath.Join(t.TempDir())
	const gone = "/dev/nowhere-1"
	for name, x := range map[string]struct {
		list  []port.Info
		named []string
		want  []doctor.State
		says  string // the first finding, in part
	}{
		"nothing plugged in":       {nil, nil, []doctor.State{doctor.Mend}, "plug the adapter in"},
		"all well":                 {[]port.Info{usb}, nil, []doctor.State{doctor.Fine}, "/dev/serial/by-id/a can be listened to"},
		"named, and well":          {[]port.Info{usb}, []string{"/dev/ttyUSB0"}, []doctor.State{doctor.Fine}, "can be listened to"},
		"named, and not there":     {[]port.Info{usb}, []string{gone}, []doctor.State{doctor.Mend, doctor.Fine}, "there is no port /dev/nowhere-1"},
		"named, there, not listed": {nil, []string{there}, []doctor.State{doctor.Note}, "is there and can be used"},
		"another than is named": {[]port.Info{usb, {Port: "/dev/ttyS0", MayOpen: &yes}}, []string{"/dev/ttyUSB0"},
			[]doctor.State{doctor.Fine}, "can be listened to"},
		"no right to it": {with(func(l *port.Info) { l.MayOpen = &no }), nil, []doctor.State{doctor.Mend}, "you may not open it"},
		"held": {with(func(l *port.Info) { l.HeldBy = []port.Holder{{PID: 55, Program: "terminal"}} }), nil,
			[]doctor.State{doctor.Mend}, "held by terminal (process 55)"},
		"held by one of ours": {with(func(l *port.Info) { l.HeldBy = []port.Holder{{PID: 55, Program: "benchproof"}} }), nil,
			[]doctor.State{doctor.Fine, doctor.Note}, "can be listened to"},
		"tried out": {with(func(l *port.Info) { l.Candidate = "ID_QQ_CANDIDATE" }), nil, []doctor.State{doctor.Mend}, `ENV{ID_QQ_DEVICE_IGNORE}="1"`},
		"collects":  {with(func(l *port.Info) { l.Latency = "16 ms" }), nil, []doctor.State{doctor.Fine, doctor.Note}, "can be listened to"},
		"characters were lost": {with(func(l *port.Info) { l.Counters = &port.Counters{Overruns: 3} }), nil,
			[]doctor.State{doctor.Fine, doctor.Note}, "can be listened to"},
		"no adapter's, and no right to it": {with(func(l *port.Info) { l.USB, l.MayOpen = "", &no }), nil,
			[]doctor.State{doctor.Note, doctor.Note}, "no USB adapter"},
		"no adapter's, but named": {with(func(l *port.Info) { l.USB, l.MayOpen = "", &no }), []string{"/dev/ttyUSB0"}, []doctor.State{doctor.Mend},
			"you may not open it"},
		"on a system that does not say": {with(func(l *port.Info) { l.MayOpen = nil }), nil, []doctor.State{doctor.Note}, "can't be seen"},
	} {
		t.Run(name, func(t *testing.T) {
			list := doctor.Ports(x.list, x.named)
			var states []doctor.State
			for _, f := range list {
				assert.Equal(t, "port", f.What)
				states = append(states, f.State)
			}
			assert.Equal(t, x.want, states)
			assert.Contains(t, list[0].Says, x.says)
		})
	}
}

func TestDisk(t *testing.T) {
	for name, x := range map[string]struct {
		refused error
		room    session.Room
		want    doctor.State
		says    string
	}{
		"room":             {nil, session.Room{Day: 10, Open: 5, Free: 26}, doctor.Fine, "room for 2 days"},
		"just a day":       {nil, session.Room{Day: 10, Open: 5, Free: 15}, doctor.Fine, "room for a day"},
		"less than that":   {nil, session.Room{Day: 10, Open: 5, Free: 14}, doctor.Mend, "less than a day"},
		"years":            {nil, session.Room{Day: 1, Open: 0, Free: 1001}, doctor.Fine, "room for years"},
		"not known":        {nil, session.Room{Day: 1, Free: -1}, doctor.Note, "can't be seen here"},
		"may not be wrote": {errors.New("read-only"), session.Room{Day: 1, Free: 1001}, doctor.Mend, "nothing can be written in sessions (read-only)"},
	} {
		t.Run(name, func(t *testing.T) {
			f := doctor.Disk("sessions", x.refused, x.room)
			assert.Equal(t, x.want, f.State)
			assert.Contains(t, f.Says, x.says)
		})
	}
}

func TestClock(t *testing.T) {
	yes, no := true, false
	const ms = int64(unit.Millisecond)
	for name, x := range map[string]struct {
		synchronised *bool
		wall         int64 // ns that passed on the clock that is set, of 300 ms
		want         doctor.State
		says         string
	}{
		"set by a server":       {&yes, 300 * ms, doctor.Fine, "by a time server"},
		"gently corrected":      {&yes, 319 * ms, doctor.Fine, "by a time server"},
		"jumps":                 {&yes, 320 * ms, doctor.Mend, "jumped by 20.0 ms"},
		"jumps back":            {nil, -700 * ms, doctor.Mend, "jumped by -1.00 s"},
		"nobody sets it":        {&no, 300 * ms, doctor.Mend, "no time server"},
		"it can't be seen here": {nil, 300 * ms, doctor.Note, "can't be seen"},
	} {
		t.Run(name, func(t *testing.T) {
			f := doctor.Clock(x.synchronised, doctor.Instant{Wall: 1000, Mono: 5}, doctor.Instant{Wall: 1000 + x.wall, Mono: 5 + unit.Time(300*ms)})
			assert.Equal(t, x.want, f.State)
			assert.Contains(t, f.Says, x.says)
		})
	}
}

func TestToMend(t *testing.T) {
	assert.Equal(t, 2, doctor.ToMend([]doctor.Finding{{State: doctor.Mend}, {State: doctor.Fine}, {State: doctor.Note}, {State: doctor.Mend}}))
}

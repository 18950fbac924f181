package api

import (
	"fmt"
	"net/http"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// judgementLag is how far judgement may be behind before it is unwell: a beat
// goes through it each second.
const judgementLag = 3 * unit.Second

// healthAnswer says whether all is well, and what is not.
type healthAnswer struct {
	Well     bool      `json:"well"`
	Troubles []trouble `json:"troubles"`
}

// trouble is one thing that is unwell.
type trouble struct {
	About    string `json:"about"` // "tap:main", "judgement", "recording" or "disk"
	Sentence string `json:"sentence"`
}

func (s *Server) health(w http.ResponseWriter, _ *http.Request) {
	now := s.opt.State()
	h := healthAnswer{Troubles: []trouble{}}
	for i := range now.Taps {
		if text := tapTrouble(&now.Taps[i], now.NowNS); text != "" {
			h.Troubles = append(h.Troubles, trouble{event.AboutTap.Called(now.Taps[i].Name), text})
		}
	}
	if behind := now.NowNS.Sub(now.SeenNS); behind > judgementLag {
		h.Troubles = append(h.Troubles, trouble{"judgement", fmt.Sprintf("nothing has been judged for %s: benchproof itself is stuck or overloaded", span(behind))})
	}
	h.Troubles = append(h.Troubles, diskTroubles(&now.Recorder)...)
	h.Well = len(h.Troubles) == 0
	code := http.StatusOK
	if !h.Well {
		code = http.StatusServiceUnavailable
	}
	answer(w, code, h)
}

// boardTrouble is for a capture board of which no pulse was heard yet.
func boardTrouble(t *state.Tap) string {
	if t.Board.Lines > 0 {
		return fmt.Sprintf("tap %s: the capture board is heard, but no pulse: are its leads on the outputs, and the receiver on?", t.Name)
	}
	return fmt.Sprintf("tap %s: %d characters came in, but no line of a capture board can be read from them: its rate, or another device?", t.Name, t.Bytes)
}

// signalTrouble is for a bus that is heard while its receiver does not hear.
func signalTrouble(t *state.Tap) string {
	switch t.Signal {
	case event.SignalLost:
		return fmt.Sprintf("tap %s: no live frame: the receiver flags each as lost", t.Name)
	case event.SignalFailsafe:
		return fmt.Sprintf("tap %s: the receiver is in failsafe", t.Name)
	}
	return ""
}

func tapTrouble(t *state.Tap, now unit.Time) string {
	switch {
	case !t.Up && t.Why == "":
		return fmt.Sprintf("tap %s: its port is not open yet", t.Name)
	case !t.Up:
		return fmt.Sprintf("tap %s: its port is not open: %s", t.Name, t.Why)
	case t.Locked:
		return signalTrouble(t)
	case t.LastNS < 0 && t.Bytes == 0:
		return fmt.Sprintf("tap %s: the port is open, but nothing has come in", t.Name)
	case t.LastNS < 0 && t.Board != nil:
		return boardTrouble(t)
	case t.LastNS < 0:
		return fmt.Sprintf("tap %s: %d characters came in, but no frame can be read from them: inverter, or the wrong output of the receiver?", t.Name, t.Bytes)
	}
	if t.Board != nil {
		return fmt.Sprintf("tap %s: no output is heard, the last pulse was %s ago", t.Name, span(now.Sub(t.LastNS)))
	}
	return fmt.Sprintf("tap %s: the bus is silent, the last frame was %s ago", t.Name, span(now.Sub(t.LastNS)))
}

func diskTroubles(r *state.Recorder) (list []trouble) {
	because := ""
	if r.Trouble != "" {
		because = ": " + r.Trouble
	}
	if r.Stalled {
		list = append(list, trouble{"disk", fmt.Sprintf("the disk of %s has not answered for two seconds%s", r.Folder, because)})
	}
	if !r.Recording {
		list = append(list, trouble{"recording", fmt.Sprintf("what is heard now is not recorded in %s%s", r.Folder, because)})
	}
	if len(list) == 0 && r.Trouble != "" {
		list = append(list, trouble{"disk", fmt.Sprintf("trouble with the disk of %s%s", r.Folder, because)})
	}
	return list
}

// span shows a stretch of time to a tenth of a second.
func span(d unit.Duration) string { return time.Duration(d).Round(100 * time.Millisecond).String() }

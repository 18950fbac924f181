package metrics

import "benchproof.example/monitor/state"

// recorder are the families of what keeps the evidence.
func recorder() []family {
	return []family{
		gauge("recorder_recording", "1 while what is heard is recorded; 0: it is lost to the recording.", nil, func(s *state.State, show show) {
			show(truth(s.Recorder.Recording))
		}),
		gauge("recorder_stalled", "1 while the disk has not answered for two seconds.", nil, func(s *state.State, show show) {
			show(truth(s.Recorder.Stalled))
		}),
		gauge("recorder_trouble", "1 while a trouble with the disk is not over; the log and the page say which.", nil, func(s *state.State, show show) {
			show(truth(s.Recorder.Trouble != ""))
		}),
		counter("recorder_inputs_total", "Inputs recorded.", nil, func(s *state.State, show show) {
			show(float64(s.Recorder.Inputs))
		}),
		gauge("recorder_waiting_events", "Events that wait to be written.", nil, func(s *state.State, show show) {
			show(float64(s.Recorder.Waiting))
		}),
		gauge("recorder_free_bytes", "Room left on the disk of the session; absent where it is not known.", nil, func(s *state.State, show show) {
			if s.Recorder.FreeBytes >= 0 {
				show(float64(s.Recorder.FreeBytes))
			}
		}),
	}
}

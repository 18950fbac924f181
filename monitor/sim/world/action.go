package world

// Action is what a step does to the bench.
type Action interface {
	run(now int64, s *Sim)
}

// byHand says whether hands do it.
func byHand(a Action) bool {
	switch a.(type) {
	case SetLever, PressLever, SetCut, MoveStick, StirSticks, ReleaseSticks, TiltModel,
		SlamSticks, CircleSticks, PauseSticks, SetRate, SetTrim:
		return true
	}
	return false
}

package watch

// For lists the watchers of a sheet over the taps of a view, in the order in
// which they see: those that inform the view come before those that read it.
func For(v *View) []Watcher {
	list := []Watcher{&SessionEvents{}}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "bus" {
			list = append(list, forBus(v, uint8(i))...)
		}
	}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "pulses" {
			list = append(list, forLeads(uint8(i))...)
		}
	}
	return list
}

// forLeads are those of a tap on servo leads. What they know of the bus, the
// watchers of the bus have found out before.
func forLeads(tap uint8) []Watcher {
	return []Watcher{
		&Board{Tap: tap},
		&OutputSilence{Tap: tap},
		&OutputWidth{Tap: tap},
		&OutputJitter{Tap: tap},
		&OutputUnsteady{Tap: tap},
		&Follows{Tap: tap},
		&OutClip{Tap: tap},
		&OutputLoss{Tap: tap},
	}
}

func forBus(v *View, tap uint8) []Watcher {
	list := []Watcher{
		&Silence{Tap: tap},
		&Late{Tap: tap},
		&Period{Tap: tap},
		&Damage{Tap: tap},
		&Gap{Tap: tap},
		&Missed{Tap: tap},
		&Failsafe{Tap: tap},
		&Link{Tap: tap},
		NewCleaned(v, tap),
		&Jump{Tap: tap},
		&Stillness{Tap: tap},
		&Loss{Tap: tap},
		&PowerUp{Tap: tap},
		&Watched{Tap: tap},
		&Flat{Tap: tap},
		&Rail{Tap: tap},
		&Spike{Tap: tap},
	}
	if Sweeps(v.Sheet) {
		list = append(list, &Sweep{Tap: tap})
	}
	for i := range v.Sheet.Gestures {
		list = append(list, &Gesture{Tap: tap, Index: i})
	}
	for i := range v.Sheet.Channels {
		if c := &v.Sheet.Channels[i]; Placed(c.Kind) {
			list = append(list, &Position{Tap: tap, Channel: c.Number})
		}
	}
	if v.Sheet.MarkButton != nil {
		list = append(list, &Button{Tap: tap})
	}
	if len(v.ModeChannels) > 0 {
		list = append(list, &Mode{Tap: tap})
	}
	return list
}

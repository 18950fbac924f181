package event

import "fmt"

// MemoryTriedData belongs to memory.tried: what a bus carried in the drill of another model memory.
type MemoryTriedData struct {
	Tap      string          `json:"tap"`
	Left     bool            `json:"left"`     // the link was gone, or many channels leapt at once, when another memory was selected
	Returned bool            `json:"returned"` // likewise when this model's was selected again
	Changed  bool            `json:"changed"`  // likewise, but only for a part of the time, while its sticks were moved
	Frames   int64           `json:"frames"`   // heard while its sticks were moved
	Live     int64           `json:"live"`     // of these, from a live transmitter
	Channels []PowerUpRanges `json:"channels"` // 1 to 16, meanwhile; none where no frame came
}

// memorySentence says in one line whether the receiver listened to another memory.
func memorySentence(_ *Event, name string, d *MemoryTriedData) string {
	switch {
	case d.Frames == 0:
		return name + ": with another model memory selected, the receiver sent nothing on the bus"
	case d.Live > 0 && d.Changed:
		return fmt.Sprintf("%s: with another model memory said to be selected, the receiver began or ceased to hear a transmitter meanwhile", name)
	case d.Live == 0:
		return fmt.Sprintf("%s: with another model memory selected, the receiver heard no transmitter in %d frames", name, d.Frames)
	}
	return fmt.Sprintf("%s: with another model memory said to be selected, %d of %d frames were from a live transmitter", name, d.Live, d.Frames)
}

package event

// Names are those that a sheet gives to channels and outputs; "" where it has none.
type Names struct {
	Channel, Output func(number int) string
}

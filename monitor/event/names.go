package event

// SheetNames are those that a sheet gives to channels and outputs; "" where it has none.
type SheetNames struct {
	Channel, Output func(number int) string
}

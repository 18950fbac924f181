package bus

import (
	"encoding/json"
	"fmt"
)

// MaxChannels is the largest number of proportional channels that a frame has room for.
const MaxChannels = 32

// PerChannel has a value for each proportional channel, from the first on. Those behind
// the last channel of a protocol are zero. Its zero value is ready, and == compares it.
type PerChannel[T comparable] [MaxChannels]T

// PerNumber has a value for each channel by its number less 1, the digital ones with
// the others. Those behind the last channel of a protocol are zero.
type PerNumber[T comparable] [MaxChannels + MaxDigital]T

// Counts has a count for each proportional channel. A count is a whole number of the
// protocol's own unit; Protocol.Scale says what it is worth.
type Counts = PerChannel[uint32]

// How many values are always written. More are written where one of them is not zero. So
// the state of a bus with sixteen channels and two digital ones is written as it was
// before there was room for more.
const (
	shownChannels = 16
	shownNumbers  = 18
)

// MarshalJSON writes a list.
func (c PerChannel[T]) MarshalJSON() ([]byte, error) { return marshalList(c[:], shownChannels) }

// UnmarshalJSON reads what MarshalJSON wrote; values that are lacking at the end are zero.
func (c *PerChannel[T]) UnmarshalJSON(b []byte) error { return unmarshalList(b, c[:]) }

// MarshalJSON writes a list.
func (c PerNumber[T]) MarshalJSON() ([]byte, error) { return marshalList(c[:], shownNumbers) }

// UnmarshalJSON reads what MarshalJSON wrote; values that are lacking at the end are zero.
func (c *PerNumber[T]) UnmarshalJSON(b []byte) error { return unmarshalList(b, c[:]) }

func marshalList[T comparable](list []T, least int) ([]byte, error) {
	var zero T
	n := len(list)
	for n > least && list[n-1] == zero {
		n--
	}
	return json.Marshal(list[:n])
}

func unmarshalList[T any](b []byte, to []T) error {
	var list []T
	if err := json.Unmarshal(b, &list); err != nil {
		return fmt.Errorf("values of channels: %w", err)
	}
	if len(list) > len(to) {
		return fmt.Errorf("values of channels: got %d, want at most %d", len(list), len(to))
	}
	clear(to[copy(to, list):])
	return nil
}

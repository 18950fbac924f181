//go:build !linux

package main

import (
	"context"
	"errors"
)

// keepAwake says that it can't.
func keepAwake(_ context.Context, say func(error)) {
	say(errors.New("this computer can't be kept from sleeping by benchproof on this system: see to it that it does not"))
}

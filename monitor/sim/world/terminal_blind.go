//go:build !linux

package world

import (
	"os"

	"benchproof.example/decode/uart"
)

// listenersFormat can't be seen on this system.
func listenersFormat(*os.File) (uart.Format, bool) { return uart.Format{}, false }

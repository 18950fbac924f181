//go:build !linux && !darwin

package world

import "os"

func openRaw() (*os.File, string, error) { return nil, "", ErrNoPTY }

func offer(*os.File, []byte) error { return ErrNoPTY }

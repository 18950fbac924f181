//go:build !linux && !darwin

package world

import "os"

func openRaw() (*os.File, string, error) { return nil, "", ErrNoPTY }

func offer(*os.File, []byte) (taken int, err error) { return 0, ErrNoPTY }

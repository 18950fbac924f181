//go:build kernel

package main

import (
	"bytes"
	"debug/elf"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// modules are the drivers of a kernel: a name's file.
type modules map[string]string

func findModules(t *testing.T, root string) modules {
	t.Helper()
	m := modules{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if name, ok := strings.CutSuffix(d.Name(), ".ko"); ok {
			m[plainName(name)] = path
		}
		return err
	}))
	require.NotEmpty(t, m, "no drivers as plain .ko files below %s", root)
	return m
}

func plainName(name string) string { return strings.ReplaceAll(name, "-", "_") }

// modinfo is what a driver says of itself under a word.
func (m modules) modinfo(t *testing.T, name, word string) (list []string) {
	t.Helper()
	require.Contains(t, m, name)
	file, err := elf.Open(m[name])
	require.NoError(t, err)
	defer func() { _ = file.Close() }()
	section := file.Section(".modinfo")
	require.NotNil(t, section, m[name])
	data, err := section.Data()
	require.NoError(t, err)
	for _, entry := range bytes.Split(data, []byte{0}) {
		if value, ok := strings.CutPrefix(string(entry), word+"="); ok && value != "" {
			list = append(list, value)
		}
	}
	return list
}

// claiming is the USB-serial driver that claims a device, by its alias.
func (m modules) claiming(t *testing.T, alias string) string {
	t.Helper()
	for name, path := range m {
		if strings.Contains(path, "/usb/serial/") && slices.ContainsFunc(m.modinfo(t, name, "alias"), func(a string) bool { return strings.HasPrefix(a, alias) }) {
			return name
		}
	}
	require.Fail(t, "no driver claims "+alias)
	return ""
}

// order is the given drivers and those they need, each after what it needs.
func (m modules) order(t *testing.T, names ...string) (list []string) {
	t.Helper()
	for _, name := range names {
		for _, depends := range m.modinfo(t, name, "depends") {
			for _, needed := range m.order(t, strings.Split(plainName(depends), ",")...) {
				if !slices.Contains(list, needed) {
					list = append(list, needed)
				}
			}
		}
		if !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	return list
}

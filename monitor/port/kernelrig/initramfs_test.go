//go:build kernel

package main

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"testing"

	"github.com/stretchr/testify/require"
)

// initramfs is the guest's first file system, in the form that the kernel reads
// ("newc"). Published: the Linux kernel's
// Documentation/driver-api/early-userspace/buffer-format.rst.
type initramfs struct {
	bytes.Buffer
	known map[string]bool
	nodes int
}

// The kinds of node.
const (
	folderNode = 0o040755
	fileNode   = 0o100755
	linkNode   = 0o120777
)

func (a *initramfs) node(name string, mode int, data []byte) {
	a.nodes++
	fmt.Fprintf(a, "070701%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%08x%s\x00",
		a.nodes, mode, 0, 0, 1, 0, len(data), 0, 0, 0, 0, len(name)+1, 0, name)
	a.pad()
	a.Write(data)
	a.pad()
}

func (a *initramfs) pad() { a.Write(make([]byte, -a.Len()&3)) }

// folder adds the folders above a name.
func (a *initramfs) folders(name string) {
	if dir := path.Dir(name); dir != "." && !a.known[dir] {
		a.folders(dir)
		a.known[dir] = true
		a.node(dir, folderNode, nil)
	}
}

func (a *initramfs) write(name string, data []byte) {
	a.folders(name)
	a.node(name, fileNode, data)
}

// copy adds a file of the host.
func (a *initramfs) copy(t *testing.T, name, from string) {
	t.Helper()
	data, err := os.ReadFile(from)
	require.NoError(t, err)
	a.write(name, data)
}

func (a *initramfs) link(name, to string) {
	a.folders(name)
	a.node(name, linkNode, []byte(to))
}

func (a *initramfs) end() []byte {
	a.node("TRAILER!!!", 0, nil)
	return a.Bytes()
}

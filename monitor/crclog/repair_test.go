package crclog_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files/filestest"
)

const name = "lines.jsonl"

// diskWith is a disk with the file.
func diskWith(content []byte) *filestest.Disk {
	d := filestest.New()
	d.Put(name, content)
	return d
}

func TestRepairCutsOnlyTheTail(t *testing.T) {
	whole := lines(5)
	whole[lineLen+5] ^= 1
	for cut := range 2*lineLen + 1 {
		torn := whole[:len(whole)-cut]
		d := diskWith(torn)
		good := len(torn) / lineLen * lineLen
		n, aside, err := crclog.Repair(d, name)
		require.NoError(t, err)
		require.Equal(t, int64(len(torn)-good), n)
		require.Equal(t, torn[:good], d.Content(name), "damage in the middle stays")
		if n == 0 {
			require.Empty(t, aside)
			continue
		}
		require.Equal(t, torn[good:], d.Content(aside))
		n, aside, err = crclog.Repair(d, name)
		require.NoError(t, err)
		require.Zero(t, n, "a second repair finds nothing")
		require.Empty(t, aside)
	}
}

func TestRepairNeverOverwritesWhatIsAside(t *testing.T) {
	d := diskWith(append(lines(1), "first"...))
	_, one, err := crclog.Repair(d, name)
	require.NoError(t, err)
	d.Put(name, append(lines(1), "second"...))
	_, two, err := crclog.Repair(d, name)
	require.NoError(t, err)
	assert.Equal(t, "first", string(d.Content(one)))
	assert.Equal(t, "second", string(d.Content(two)))
	assert.Equal(t, one+".2", two)
}

func TestRepairRefuses(t *testing.T) {
	_, _, err := crclog.Repair(filestest.New(), name)
	require.ErrorIs(t, err, os.ErrNotExist)
	d := diskWith(lines(1))
	for _, good := range []int64{-1, 1000} {
		_, _, err = crclog.CutTail(d, name, good)
		require.ErrorContains(t, err, "cut torn tail")
	}
	assert.Equal(t, lines(1), d.Content(name))
}

var errDisk = errors.New("no space left on device")

func TestNothingIsCutBeforeItsCopyIsSafe(t *testing.T) {
	torn := append(lines(2), "half a line"...)
	order := []string{"create", "read", "write", "sync", "sync folder", "truncate", "sync"}
	for fail := range len(order) + 1 {
		d, calls := diskWith(torn), 0
		d.Before = func(c filestest.Call) error {
			if c.Op == "open" || c.Name == name && c.Op == "read" && calls == 0 {
				return nil // what is found
			}
			if c.Op == "read" && calls == 2 {
				return nil // behind the end
			}
			require.Equal(t, order[calls], c.Op)
			if calls++; calls == fail+1 {
				return errDisk
			}
			return nil
		}
		_, aside, err := crclog.Repair(d, name)
		if fail == len(order) {
			require.NoError(t, err)
			assert.Equal(t, "half a line", string(d.Content(aside)))
			assert.Equal(t, lines(2), d.Content(name))
			continue
		}
		require.ErrorIs(t, err, errDisk, order[fail])
		if fail < 5 {
			assert.Equal(t, torn, d.Content(name), order[fail])
		}
	}
}

// A power cut at any call loses nothing: the tail is in the file still, or aside.
func TestRepairBehindAPowerCut(t *testing.T) {
	torn := append(lines(2), "half a line"...)
	for seed := range uint64(200) {
		luck, d := rand.New(rand.NewPCG(seed, 0)), diskWith(torn)
		d.Before = func(filestest.Call) error {
			left := d.PowerCut(luck)
			if len(left.Content(name)) < len(torn) {
				require.Equal(t, lines(2), left.Content(name)[:2*lineLen], "whole lines stay")
				require.Equal(t, "half a line", string(left.Content(name+".torn-"+strconv.Itoa(2*lineLen))))
			}
			return nil
		}
		_, _, err := crclog.Repair(d, name)
		require.NoError(t, err)
	}
}

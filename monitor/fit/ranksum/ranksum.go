// Package ranksum compares what was missed at one mark of a range walk with what was missed at
// the same mark in an earlier session: the rank-sum test, by permutation. Its units are blocks
// of two seconds, since frames are missed in bursts and single ones show differences where
// there are none. All is whole numbers, and shuffled by a fixed seed: the same blocks give the
// same answer everywhere.
package ranksum

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"benchproof.example/monitor/unit"
)

// Block is how long each of the compared stretches lasts.
const Block = 2 * unit.Second

// shuffles is how many are tried; with the order seen they are a thousand.
const shuffles = 999

// More is how likely the blocks now would rank as high above the earlier ones, or higher, if
// both were alike: in thousandths, one at least. Each block is the number of frames missed in
// it. One side without blocks shows nothing: 1000.
func More(now, earlier []int64) (thousandths int64) {
	ranks := doubledMidranks(slices.Concat(now, earlier))
	seen := sumOf(ranks[:len(now)])
	random := rand.New(rand.NewPCG(2, uint64(len(ranks))))
	thousandths = 1
	for range shuffles {
		for i := range now { // only who is drawn for now must be shuffled
			j := i + random.IntN(len(ranks)-i)
			ranks[i], ranks[j] = ranks[j], ranks[i]
		}
		if sumOf(ranks[:len(now)]) >= seen {
			thousandths++
		}
	}
	return thousandths
}

// doubledMidranks are the ranks of values, from 1 on, twice; those that are equal share the
// middle of theirs.
func doubledMidranks(values []int64) []int64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	ranks := make([]int64, len(values))
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			ranks[i] = int64(from + 1 + to)
		}
		from = to
	}
	return ranks
}

func sumOf(ranks []int64) (sum int64) {
	for _, r := range ranks {
		sum += r
	}
	return sum
}

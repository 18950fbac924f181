package event

import "slices"

// ByOutput has what is known of each output of a board. The zero value is ready; its fields
// are what a checkpoint keeps.
type ByOutput[T any] struct {
	Numbers []int // of the outputs, ascending
	List    []T   // what is known of each, in the same order
}

// Of is what is known of an output, nil where it is not in there. Most boards have outputs 1, 2,
// 3 and so on, so it is looked for there first. It is good until an output is added.
func (b *ByOutput[T]) Of(output int) *T {
	if i := output - 1; uint(i) < uint(len(b.Numbers)) && b.Numbers[i] == output {
		return &b.List[i]
	}
	return b.search(output)
}

func (b *ByOutput[T]) search(output int) *T {
	if i, ok := slices.BinarySearch(b.Numbers, output); ok {
		return &b.List[i]
	}
	return nil
}

// Add adds an output that is not in there.
func (b *ByOutput[T]) Add(output int, known T) *T {
	i, _ := slices.BinarySearch(b.Numbers, output)
	b.Numbers, b.List = slices.Insert(b.Numbers, i, output), slices.Insert(b.List, i, known)
	return &b.List[i]
}

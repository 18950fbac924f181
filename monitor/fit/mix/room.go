package mix

// room is what a fit works in: pieces are taken as it goes on, and the next fit has all of
// it again. So a fit leaves next to nothing behind that has to be collected.
type room struct {
	all  []float64
	free []float64 // the part of it that is not taken
}

// roomLeast is how many values a room begins with.
const roomLeast = 4096

// take gives a piece of so many zeros; a room that is nil gives each its own.
func (r *room) take(n int) []float64 {
	if r == nil {
		return make([]float64, n)
	}
	if n > len(r.free) { // whoever has a piece of the smaller one keeps it
		r.all = make([]float64, max(roomLeast, n, 2*len(r.all)))
		r.free = r.all
	}
	piece := r.free[:n:n]
	r.free = r.free[n:]
	clear(piece)
	return piece
}

// clear takes all pieces back.
func (r *room) clear() { r.free = r.all }

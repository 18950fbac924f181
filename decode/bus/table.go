package bus

// Table is a list of protocols. The first is the one that is meant where none is named.
type Table []*Protocol

// Find finds a protocol by its name; "" is the first one. False: there is none.
func (t Table) Find(name string) (*Protocol, bool) {
	for i, p := range t {
		if p.Name == name || name == "" && i == 0 {
			return p, true
		}
	}
	return nil, false
}

// Names lists the names, in order.
func (t Table) Names() []string {
	names := make([]string, len(t))
	for i, p := range t {
		names[i] = p.Name
	}
	return names
}

package port

// Found is how a port was found to be set, so that it can be set so again.
type Found struct {
	path     string
	settings *terminal // nil: it can't be seen
}

// Remember looks how a port is set. What can't be seen can't be put back.
func Remember(path string) Found {
	f := Found{path: path}
	if t, err := readTerminal(path); err == nil {
		f.settings = t
	}
	return f
}

// String is the short form, such as "9600 8N1", "" where it is not known.
func (f Found) String() string {
	if f.settings == nil {
		return ""
	}
	return settingsText(f.settings.format())
}

// PutBack sets the port as it was found, if that is known.
func (f Found) PutBack() error {
	if f.settings == nil {
		return nil
	}
	return f.settings.write(f.path)
}

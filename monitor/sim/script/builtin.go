package script

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

//go:embed scripts/*.script
var embedded embed.FS

const extension = ".script"

// Names lists the scripts that Named knows, sorted.
func Names() []string {
	files, _ := embedded.ReadDir("scripts") // an embedded folder can't fail
	names := make([]string, 0, len(files))
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f.Name(), extension))
	}
	return names
}

// Named is a script that comes with the program.
func Named(name string) (*Script, error) {
	text, err := read(name)
	if err != nil {
		return nil, err
	}
	return Parse(name+extension, text)
}

// AboutNamed is what Named(name).About says. It reads the comment alone.
func AboutNamed(name string) (string, error) {
	text, err := read(name)
	return about(string(text)), err
}

func read(name string) ([]byte, error) {
	if names := Names(); !slices.Contains(names, name) {
		return nil, fmt.Errorf("no script is called %q; there are %s", name, strings.Join(names, ", "))
	}
	text, err := embedded.ReadFile("scripts/" + name + extension)
	if err != nil {
		return nil, fmt.Errorf("script %s: %w", name, err)
	}
	return text, nil
}

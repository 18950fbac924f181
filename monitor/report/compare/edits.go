package compare

import (
	"fmt"
	"slices"

	"github.com/goccy/go-yaml"
)

// Edit is one value of a sheet that was changed; remarks and layout are not
// values.
type Edit struct {
	Path string `json:"path"` // keys from the top, "channels.9.ends.clockwise"
	Then string `json:"then"` // "" where it was not there
	Now  string `json:"now"`  // "" where it is gone
}

// edits lists what differs between two sheets, in the order of the later one,
// then what is gone.
func edits(then, now string) ([]Edit, error) {
	before, err := values(then)
	if err != nil {
		return nil, err
	}
	after, err := values(now)
	if err != nil {
		return nil, err
	}
	list := []Edit{}
	for _, v := range after {
		i := slices.IndexFunc(before, func(b value) bool { return b.path == v.path })
		switch {
		case i < 0:
			list = append(list, Edit{v.path, "", v.text})
		case before[i].text != v.text:
			list = append(list, Edit{v.path, before[i].text, v.text})
		}
	}
	for _, v := range before {
		if !slices.ContainsFunc(after, func(a value) bool { return a.path == v.path }) {
			list = append(list, Edit{v.path, v.text, ""})
		}
	}
	return list, nil
}

type value struct{ path, text string }

func values(sheet string) ([]value, error) {
	var top yaml.MapSlice
	if err := yaml.UnmarshalWithOptions([]byte(sheet), &top, yaml.UseOrderedMap()); err != nil {
		return nil, fmt.Errorf("read the values of a sheet: %w", err)
	}
	return flat("", top, nil), nil
}

func flat(path string, v any, list []value) []value {
	below := func(key string) string {
		if path == "" {
			return key
		}
		return path + "." + key
	}
	switch v := v.(type) {
	case yaml.MapSlice:
		for _, item := range v {
			list = flat(below(fmt.Sprint(item.Key)), item.Value, list)
		}
	case []any:
		for i, item := range v {
			list = flat(below(fmt.Sprint(i+1)), item, list)
		}
	default:
		list = append(list, value{path, fmt.Sprint(v)})
	}
	return list
}

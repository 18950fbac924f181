package record

import (
	_ "embed"
	"slices"
)

//go:embed record.schema.json
var schemaText []byte

// Schema is the JSON Schema (draft 2020-12) of records of this format.
func Schema() []byte { return slices.Clone(schemaText) }

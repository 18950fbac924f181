module benchproof.example

go 1.26

require (
	github.com/icza/bitio v1.0.0
	github.com/stretchr/testify v1.12.1
	pgregory.net/rapid v1.3.0
)

require go.yaml.in/yaml/v3 v3.0.5 // indirect

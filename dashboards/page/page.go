// Package page is the live page: its sources in TypeScript, and what is built of them, which
// travels with the program. `make page` builds it anew; a test holds what is built to its sources.
package page

import "embed"

// Files holds what a browser is sent, below built.
//
//go:embed built
var Files embed.FS

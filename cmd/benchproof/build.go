package main

import "runtime/debug"

// build names the program that judges: the byte-for-byte promise holds for one build.
// Events, recordings and --version have it; session.Fingerprint, which sees what was built
// in another way of the same source too, tells checkpoints of two programs apart.
func build() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{}
	}
	return buildOf(info)
}

// buildOf says from which source a program was built, as the go command stamped it: a tag,
// or date and hash of a commit, with +dirty where files were changed since; and by which
// Go. Source without its history, and -buildvcs=false, leave no stamp.
func buildOf(info *debug.BuildInfo) string {
	version, by := info.Main.Version, info.GoVersion
	if version == "" || version == "(devel)" {
		version = "(unknown commit)"
	}
	if by == "" {
		by = "(unknown Go)"
	}
	return "benchproof " + version + " " + by
}

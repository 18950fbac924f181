package main

import (
	"errors"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/dashboards/guide"
	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
)

// completeFlag has a shell complete the value of a flag.
func completeFlag(cmd *cobra.Command, flag string, f cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, f); err != nil {
		panic(err) // there is no such flag
	}
}

// firstOf completes the first argument with choices, and no other.
func firstOf(choices func(*cobra.Command) []cobra.Completion) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return choices(cmd), cobra.ShellCompDirectiveNoFileComp
	}
}

// folders completes with folders, as those of sessions.
func folders(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}

// sheetFiles completes with files that may be sheets.
func sheetFiles(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
	return []cobra.Completion{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}

// scriptsAndFiles completes with the demo's scripts; a file may be one too.
func scriptsAndFiles(*cobra.Command, []string, string) (list []cobra.Completion, files cobra.ShellCompDirective) {
	for _, name := range script.Names() {
		if s, err := script.Named(name); err == nil {
			list = append(list, cobra.CompletionWithDesc(name, s.About()))
		}
	}
	return list, cobra.ShellCompDirectiveDefault
}

// portNames completes PORT, and NAME=PORT, with the serial ports that are there.
func portNames(_ *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	list, err := port.List()
	if err != nil {
		return nil, cobra.ShellCompDirectiveDefault
	}
	return completePorts(list, typed), cobra.ShellCompDirectiveDefault
}

// portsAndFiles completes the one argument that may be either.
func portsAndFiles(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return portNames(cmd, args, typed)
}

func completePorts(list []port.Info, typed string) (choices []cobra.Completion) {
	tap, _, named := strings.Cut(typed, "=")
	for i := range list {
		name := list[i].Port
		if named {
			name = tap + "=" + name
		}
		choices = append(choices, cobra.CompletionWithDesc(name, list[i].Product))
	}
	return choices
}

func guideTopics(*cobra.Command) (list []cobra.Completion) {
	for _, t := range guide.Topics() {
		list = append(list, cobra.CompletionWithDesc(t.Name, t.Title))
	}
	return list
}

// drillNames are the drills that the sheet at hand allows.
func drillNames(cmd *cobra.Command) (list []cobra.Completion) {
	if s := sheetAtHand(cmd); s != nil {
		for _, p := range drill.Plans(s) {
			list = append(list, cobra.CompletionWithDesc(p.Name, p.Purpose))
		}
	}
	return list
}

// reopenTopics are what can be reopened under the sheet at hand, its channels among it.
func reopenTopics(cmd *cobra.Command) []cobra.Completion {
	if s := sheetAtHand(cmd); s != nil {
		return claim.Topics(s)
	}
	return nil
}

// claimIDs are the claims of the sheet at hand: a remark may be about one.
func claimIDs(cmd *cobra.Command) (list []cobra.Completion) {
	if s := sheetAtHand(cmd); s != nil {
		for _, c := range claim.New(s).Claims() {
			list = append(list, cobra.CompletionWithDesc(c.ID, c.Sentence))
		}
	}
	return list
}

// sheetAtHand is the sheet of the session that the flags name or that runs, else the only
// one in the present folder; nil where there is none.
func sheetAtHand(cmd *cobra.Command) *sheet.Sheet {
	v, err := settings(cmd)
	if err != nil {
		return nil
	}
	folder := v.GetString("session")
	if folder == "" {
		if c, err := client.Find(sessionsFolder); err == nil {
			c.Close()
			folder = c.Folder
		}
	}
	if folder == "" {
		return onlySheet()
	}
	s, err := session.Folder(folder).ReadSheet()
	if err != nil {
		return nil
	}
	return s
}

// onlySheet is the sheet in the present folder, where one file there is a sheet.
func onlySheet() (only *sheet.Sheet) {
	files, _ := filepath.Glob("*.y*ml") // the pattern is sound
	for _, path := range files {
		s, _, err := readSheet(path)
		switch {
		case err != nil: // another file
		case only != nil:
			return nil
		default:
			only = s
		}
	}
	return only
}

// addCompletion adds the command that prints completions, as the library makes it, with
// our sentences for arguments.
func addCompletion(root *cobra.Command) {
	root.InitDefaultCompletionCmd()
	completion, _, err := root.Find([]string{"completion"})
	if err != nil {
		panic(err) // it was just added
	}
	completion.Args, completion.Example = takes(0, 0, "the name of a shell"), "  benchproof completion bash"
	completion.RunE = func(*cobra.Command, []string) error {
		return fail(exitUsage, errors.New("for which shell? benchproof completion bash, fish, powershell or zsh prints it"))
	}
	for _, shell := range completion.Commands() {
		shell.Args, shell.Example = takes(0, 0, onlyFlags), "  "+shell.CommandPath()
	}
}

package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

func explainCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "explain [KEY]",
		Short: "say what a key of the sheet means, and what may stand there",
		Long: `explain says what a key means, what may stand there, and what holds where it is left
out; without one it lists all keys. A key is named by its path, with a * or with your own
names in it, or by its last word.`,
		Example: "  benchproof sheet explain\n  benchproof sheet explain gain.law\n  benchproof sheet explain channels.3.neutral\n" +
			"  benchproof sheet explain within",
		Args:              takes(0, 1, "no key, or one"),
		ValidArgsFunction: cobra.FixedCompletions(keyPaths(), cobra.ShellCompDirectiveNoFileComp),
		RunE:              explain,
	}
}

func explain(cmd *cobra.Command, args []string) error {
	keys := sheet.Table()
	if len(args) == 1 {
		var nearly string
		if keys, nearly = sheet.Find(args[0]); len(keys) == 0 {
			want := "one of those that are listed with: benchproof sheet explain"
			if nearly != "" {
				want = "perhaps " + nearly
			}
			return fail(exitUsage, fmt.Errorf("got the key %q, want %s", args[0], want))
		}
	}
	out := cmd.OutOrStdout()
	set := func(s string) string { return text.Wrap(s, readingWidth(out), "    ") + "\n" }
	var page strings.Builder
	for i := range keys {
		k := &keys[i]
		page.WriteString(k.Path + "\n" + set(k.Remark+"."))
		if len(args) == 0 {
			continue
		}
		page.WriteString(set("What stands there: "+k.Form()+".") + set("As in:  "+k.Entry()))
		for _, under := range k.Below() {
			page.WriteString(set(under.Path + ": " + under.Remark + "."))
		}
	}
	_, err := fmt.Fprint(out, page.String())
	return fail(exitDevice, err)
}

func keyPaths() (list []string) {
	for _, k := range sheet.Table() {
		list = append(list, k.Path)
	}
	return list
}

// explained says where to read about the keys that mistakes are about: commands, a line each.
func explained(err error) string {
	var mistakes sheet.Mistakes
	if !errors.As(err, &mistakes) || len(mistakes.Keys()) == 0 {
		return ""
	}
	const most = 4
	keys := mistakes.Keys()
	said := "\nwhat belongs there:"
	for _, k := range keys[:min(most, len(keys))] {
		if strings.Contains(k, "*") {
			k = `"` + k + `"` // a shell would look for files
		}
		said += "\n  benchproof sheet explain " + k
	}
	return said
}

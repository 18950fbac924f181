package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"benchproof.example/dashboards/guide"
	"benchproof.example/monitor/text"
)

func guideCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "guide [TOPIC]",
		Short: "the guide: wiring, sheet, drills, failsafe and the rest, one topic at a time",
		Long: `guide prints a topic of the guide that travels with this program; without one it
lists them. While watch or demo runs with --listen, the same pages can be read in a
browser, with their drawings, under /guide. --schema prints the JSON Schema of a line of
timeline.jsonl.`,
		Example:           "  benchproof guide\n  benchproof guide failsafe",
		Args:              takes(0, 1, "one topic, or nothing to list them"),
		RunE:              printGuide,
		ValidArgsFunction: firstOf(guideTopics),
	}
	cmd.Flags().Bool("schema", false, "print the JSON Schema of a line of timeline.jsonl")
	return cmd
}

func printGuide(cmd *cobra.Command, args []string) error {
	out := cmd.OutOrStdout()
	if schema, _ := cmd.Flags().GetBool("schema"); schema {
		return printSchema(out)
	}
	if len(args) == 0 {
		if err := listTopics(out); err != nil {
			return fail(exitDevice, err)
		}
		fmt.Fprintln(cmd.ErrOrStderr(), "benchproof: print one with: benchproof guide TOPIC")
		return nil
	}
	topic, ok := guide.Find(args[0])
	if !ok {
		return fail(exitUsage, fmt.Errorf("there is no topic %q; %s", args[0], nearTopics(args[0])))
	}
	_, err := io.WriteString(out, guidePage(topic.Text, readingWidth(out)))
	return fail(exitDevice, err)
}

func printSchema(out io.Writer) error {
	schema, err := guide.Files.ReadFile(guide.Schema)
	if err != nil {
		return fail(exitFault, err)
	}
	_, err = out.Write(schema)
	return fail(exitDevice, err)
}

func listTopics(out io.Writer) error {
	longest := 0
	for _, name := range topicNames() {
		longest = max(longest, len(name))
	}
	for _, t := range guide.Topics() {
		if _, err := fmt.Fprintf(out, "%-*s %s\n", longest, t.Name, t.Title); err != nil {
			return err
		}
	}
	return nil
}

// readingWidth is how wide a page is set, columns: that of a terminal, within what
// reads well.
func readingWidth(out io.Writer) int {
	const usual = 80
	columns, _ := sizeOf(out)
	if columns == 0 {
		return usual
	}
	return min(max(columns, 40), paragraph)
}

func topicNames() (names []string) {
	for _, t := range guide.Topics() {
		names = append(names, t.Name)
	}
	return names
}

// nearTopics says which topics somebody may have meant: those that are written nearly
// so, else those that speak of it, else all.
func nearTopics(word string) string {
	word = strings.ToLower(word)
	var alike, speaking []string
	for _, t := range guide.Topics() {
		if slips(word, t.Name) <= 2 {
			alike = append(alike, t.Name)
		}
		if word != "" && strings.Contains(strings.ToLower(t.Text), word) {
			speaking = append(speaking, t.Name)
		}
	}
	switch {
	case len(alike) > 0:
		return "perhaps it is " + strings.Join(alike, " or ")
	case len(speaking) > 0:
		return "it is spoken of in " + text.And(speaking)
	}
	return "the topics are " + strings.Join(topicNames(), ", ")
}

// slips is how many letters must be put in, left out or exchanged to make one word of
// another.
func slips(from, to string) int {
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(from) {
		next := slices.Clone(row)
		next[0] = i + 1
		for j := range len(to) {
			exchanged := row[j]
			if from[i] != to[j] {
				exchanged++
			}
			next[j+1] = min(exchanged, row[j+1]+1, next[j]+1)
		}
		row = next
	}
	return row[len(to)]
}

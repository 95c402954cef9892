package main

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write anew what commands printed into docs/day.md")

// consoles finds the blocks of commands with what they printed.
var consoles = regexp.MustCompile("(?s)```console\n(.*?)```")

// docs/day.md is a whole day in commands. Each is run as it stands, one after the other
// on one book, and prints what stands below it.
func TestTheDayIsAsItIsTold(t *testing.T) {
	page := ours(t, "../docs/day.md")
	star, drawing := get(t, ours(t, "regatta/star.yaml")), get(t, ours(t, "regatta/star.svg"))
	told := get(t, page)
	t.Chdir(t.TempDir())
	t.Setenv("XDG_DATA_HOME", mustWd(t))
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(mustWd(t), "config"))
	put(t, "star.yaml", star)
	put(t, "star.svg", drawing)
	commands := 0
	became := consoles.ReplaceAllStringFunc(told, func(block string) string {
		var b strings.Builder
		for line := range strings.Lines(consoles.FindStringSubmatch(block)[1]) {
			if command, ok := strings.CutPrefix(line, "$ "); ok {
				commands++
				b.WriteString(line + typed(t, strings.TrimSpace(command)))
			}
		}
		return "```console\n" + b.String() + "```"
	})
	if commands < 20 {
		t.Errorf("the page has %d commands", commands)
	}
	if *update {
		if err := os.WriteFile(page, []byte(became), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if became != told {
		t.Errorf("docs/day.md is not what is printed; go test ./cmd/brushfall -run TheDay -update writes it anew. It would be\n%s", became)
	}
}

// typed runs a command as a shell would, which has words, double quotes and > for a file,
// and gives what it printed.
func typed(t *testing.T, command string) string {
	t.Helper()
	command, into, _ := strings.Cut(command, " > ")
	var words []string
	for i, part := range strings.Split(command, `"`) {
		if i%2 == 1 {
			words = append(words, part)
			continue
		}
		words = append(words, strings.Fields(part)...)
	}
	if words[0] != "brushfall" {
		t.Fatalf("%q is no command of the program", command)
	}
	o := does(t, words[1:]...)
	if into != "" {
		put(t, into, o.stdout)
		return ""
	}
	// The book lies in the folder of the day, wherever that is.
	return strings.ReplaceAll(strings.ReplaceAll(o.stdout, mustWd(t), "~/day"), " \n", "\n")
}

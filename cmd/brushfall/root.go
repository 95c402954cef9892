package main

import (
	"errors"
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"brushfall/internal/fault"
)

const rootHelp = `Brushfall turns a drawing into a rhinestone transfer: it sets the stones, makes
the templates and the files for your cutter, counts the stones you need, and
prints a ticket that says how to brush and press.

In short:
  1. Draw your design in any drawing program and save it as SVG or DXF.
  2. Run "brushfall make" on it, with the finished width and a stone size.
  3. Cut the sheets, and follow the ticket.

See it work first:         brushfall demo
Then on your own drawing:  brushfall make badge.svg --width 9.5in --stone SS10 -o badge

When a command ends it says how it went, for scripts (the exit code):
  0 done   1 done, but rules are broken   2 something in your input is wrong
  3 a fault of the program   130 stopped with Ctrl-C`

// root builds the command with all its parts.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "brushfall",
		Short:         "Turn a drawing into a rhinestone transfer: templates, cut files, counts, ticket",
		Long:          rootHelp,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return cmd.Help()
		},
	}
	root.SetFlagErrorFunc(wrongFlag)
	root.SuggestionsMinimumDistance = 2
	root.AddCommand(a.makeCommand(), a.gangCommand(), a.rosterCommand(), a.adviseCommand(), a.inspectCommand(), a.measureCommand(), a.cutCommand(), a.gaugeCommand(),
		a.stockCommand(), a.jobCommand(), a.customerCommand(), a.catalogueCommand(), a.buyCommand(), a.packCommand(), a.bookCommand(), a.openCommand(), a.demoCommand(),
		a.priceCommand(), a.quoteCommand(), a.templateCommand(), a.paperCommand())
	return root
}

// wrongFlag puts what is wrong with a flag into words, and for an unknown one
// names the nearest: --color is typed as often as --colour.
func wrongFlag(cmd *cobra.Command, err error) error {
	hint := ""
	if e, ok := errors.AsType[*pflag.NotExistError](err); ok {
		least := farthestFlag + 1
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			if d := levenshtein.ComputeDistance(e.GetSpecifiedName(), f.Name); d < least {
				hint, least = fmt.Sprintf("; did you mean --%s?", f.Name), d
			}
		})
	}
	return fault.New("usage", "", "%v%s; see \"%s --help\"", err, hint, cmd.CommandPath())
}

// farthestFlag is by how many letters a flag may be mistyped and still be known.
const farthestFlag = 2

// unknownCommand helps someone who mistyped a command, or gave a file alone.
func unknownCommand(cmd *cobra.Command, word string) error {
	if isJobFile(word) {
		return fault.New("usage", "", "say what to do with %s: brushfall make %s -o out", word, word)
	}
	if isDrawing(word) {
		return fault.New("usage", "", "say what to do with %s: brushfall make %s --width 9.5in --stone SS10 -o out", word, word)
	}
	if near := cmd.SuggestionsFor(word); len(near) > 0 {
		return fault.New("usage", "", "there is no command %q; did you mean %s? See \"brushfall --help\"", word, strings.Join(near, " or "))
	}
	return fault.New("usage", "", "there is no command %q; see \"brushfall --help\"", word)
}

// oneArgument asks for exactly one argument, in words.
func oneArgument(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) == 0:
			return fault.New("usage", "", "name %s: %s", what, cmd.UseLine())
		case len(args) > 1:
			return fault.New("usage", "", "one at a time: %q and %q were given (quote a name that has spaces)", args[0], args[1])
		}
		return nil
	}
}

// noArguments refuses any argument, in words.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fault.New("usage", "", "%s takes no %q; see \"%s --help\"", cmd.Name(), args[0], cmd.CommandPath())
	}
	return nil
}

// version says which build this is, from what Go records of it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown build"
	}
	v := strings.Trim(info.Main.Version, "()")
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
			v = fmt.Sprintf("%s %s", v, s.Value[:12])
		}
	}
	return v
}

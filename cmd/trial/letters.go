package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"brushfall/internal/artwork/lettering"
	"brushfall/internal/layout"
	"brushfall/internal/trial"
)

// lettersOptions are the flags of letters.
type lettersOptions struct {
	quick, final bool
	face, text   string
}

func lettersCommand() *cobra.Command {
	var o lettersOptions
	cmd := &cobra.Command{
		Use: "letters", Short: "Measure the characters of every shipped face in stones, and what is advised of them", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return letters(cmd.Context(), cmd.OutOrStdout(), o) },
	}
	f := cmd.Flags()
	f.BoolVar(&o.quick, "quick", false, "every fifth character, at the two smaller heights")
	f.BoolVar(&o.final, "final", false, "effort final (default live, as the advice has it)")
	f.StringVar(&o.face, "face", "", "only the faces whose name holds this text")
	f.StringVar(&o.text, "text", trial.Characters, "the characters")
	return cmd
}

// facesNamed gives the shipped faces whose name holds a text, in any case.
func facesNamed(text string) ([]*lettering.Face, error) {
	var out []*lettering.Face
	for _, f := range lettering.Shipped() {
		if strings.Contains(strings.ToLower(f.Name()), strings.ToLower(text)) {
			out = append(out, f)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no shipped face is called %q", text)
	}
	return out, nil
}

func letters(ctx context.Context, w io.Writer, o lettersOptions) error {
	faces, err := facesNamed(o.face)
	if err != nil {
		return err
	}
	text, heights, effort := o.text, trial.SignHeights(), layout.Live
	if o.quick {
		text, heights = "", heights[:2]
		for i, c := range []rune(o.text) {
			if i%5 == 0 {
				text += string(c)
			}
		}
	}
	if o.final {
		effort = layout.Final
	}
	signs, err := trial.Signs(faces, text, heights)
	if err != nil {
		return err
	}
	watch := stopwatch()
	if err := trial.TrySigns(ctx, signs, effort, true, bar(len(signs), "letters")); err != nil {
		return err
	}
	if err := trial.PrintSigns(w, signs); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%.0f s\n", watch())
	return err
}
